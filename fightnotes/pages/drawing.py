"""A drawing as SVG with a text that says the same, in a page or as a file of its own, and as PNG.

Its parts name their colours by class, so that a page shows them light or dark. The hues are those of Okabe and Ito
(Color Universal Design, 2008), which all kinds of colour vision tell apart.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

import resvg_py

_LIGHT = {
    "ink": "#22303c", "soft": "#d9dee3", "paper": "#ffffff", "main": "#0072b2", "red": "#d55e00", "blue": "#0072b2",
    "third": "#009e73", "fourth": "#cc79a7",
}  # fmt: skip
_DARK = {
    "ink": "#e4e9ee", "soft": "#46535f", "paper": "#14191e", "main": "#56b4e9", "red": "#e69f00", "blue": "#56b4e9",
    "third": "#00c390", "fourth": "#e3a5c7",
}  # fmt: skip


def _classes(colours: dict[str, str]) -> str:
    fills = (f".{name} {{ fill: {colour}; }} .{name}-line {{ stroke: {colour}; }}" for name, colour in colours.items())
    return " ".join(fills)


INKS = f"{_classes(_LIGHT)} @media (prefers-color-scheme: dark) {{ {_classes(_DARK)} }}"
"""The colours of drawings in a page: each a class that fills, and with `-line` one that strokes."""
_PRINTED_AT = 3
"""Pixels of a PNG for each unit of a drawing."""


def drawing(width: float, height: float, title: str, told: str, parts: Sequence[str]) -> str:
    """An `svg` element of so many units, of which a page makes pixels; `told` says in words what is to be seen."""
    said = f"<title>{escape(title)}</title><desc>{escape(told)}</desc>"
    size = f'viewBox="0 0 {width:g} {height:g}" width="{width:g}" height="{height:g}"'
    return f'<svg role="img" {size} font-size="11" font-family="sans-serif" class="ink">{said}{"".join(parts)}</svg>'


def as_file(svg: str) -> str:
    """A drawing as a file of its own, on white."""
    begin, _, rest = svg.removeprefix("<svg").partition(">")
    paper = f'<style>{_classes(_LIGHT)}</style><rect width="100%" height="100%" class="paper"/>'
    return f'<svg xmlns="http://www.w3.org/2000/svg"{begin}>{paper}{rest}\n'


def as_png(svg: str) -> bytes:
    return bytes(resvg_py.svg_to_bytes(svg_string=as_file(svg), zoom=_PRINTED_AT))
