"""A drawing as SVG with a text that says the same, in a page or as a file of its own, and as PNG.

Its parts name their colours by class, so that a page shows them light or dark. The hues are those of Okabe and Ito
(Color Universal Design, 2008), which all kinds of colour vision tell apart.
"""

from __future__ import annotations

import html
import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal

import resvg_py

from fightnotes.visible import visible_line

_LIGHT = {
    "ink": "#22303c", "soft": "#d9dee3", "paper": "#ffffff", "main": "#0072b2", "red": "#d55e00", "blue": "#0072b2",
    "third": "#009e73", "fourth": "#cc79a7",
}  # fmt: skip
_DARK = {
    "ink": "#e4e9ee", "soft": "#46535f", "paper": "#14191e", "main": "#56b4e9", "red": "#e69f00", "blue": "#56b4e9",
    "third": "#00c390", "fourth": "#e3a5c7",
}  # fmt: skip


_NO_XML = re.compile("[\ufffe\uffff]")
"""What `visible` leaves and XML 1.0, 2.2, does not allow."""
_LINE = 14
_LEAST_FOR_WORDS = 340


def _classes(colours: dict[str, str]) -> str:
    fills = (f".{name} {{ fill: {colour}; }} .{name}-line {{ stroke: {colour}; }}" for name, colour in colours.items())
    return " ".join(fills)


INKS = f"{_classes(_LIGHT)} @media screen and (prefers-color-scheme: dark) {{ {_classes(_DARK)} }}"
"""The colours of drawings in a page: each a class that fills, and with `-line` one that strokes."""
_PRINTED_AT = 3
"""Pixels of a PNG for each unit of a drawing."""


def drawing(
    width: float, height: float, title: str, told: str, parts: Sequence[str], role: Literal["img", "group"] = "img"
) -> str:
    """An `svg` element of so many units, of which a page makes pixels; `told` says in words what is to be seen.

    With links in it, it is a group: what lies in an image is not told to a reader (WAI-ARIA 1.2, 5.4).
    """
    said = f"<title>{escape(title)}</title><desc>{escape(told)}</desc>"
    size = f'viewBox="0 0 {width:g} {height:g}" width="{width:g}" height="{height:g}"'
    return f'<svg role="{role}" {size} font-size="11" font-family="sans-serif" class="ink">{said}{"".join(parts)}</svg>'


def escape(text: str) -> str:
    """Text from files as text of a drawing; what XML does not allow, and what turns its direction, is shown."""
    return html.escape(visible_line(_NO_XML.sub("\ufffd", text)))


def wide(text: str) -> float:
    """About how many units a text takes, rather too many than too few: of fonts without serifs, by eye, no source."""
    return sum(_wide(sign) for sign in visible_line(text))


def _wide(sign: str) -> float:
    if unicodedata.combining(sign):
        return 0
    if unicodedata.east_asian_width(sign) in "WF":
        return 11.5
    return 9.5 if sign in "mwMW@%—…" else 8.0 if sign.isupper() else 4.0 if sign in "iljtf.,:;|!' ()" else 6.7


def fitted(text: str, units: float) -> str:
    """The text, cut where it is too wide; what is cut off has to be told elsewhere."""
    if wide(text) <= units:
        return text
    room, kept = units - _wide("…"), ""
    for sign in text:
        room -= wide(sign)
        if room < 0:
            break
        kept += sign
    return f"{kept.rstrip()}…"


def lines_of(text: str, units: float) -> Iterator[str]:
    """A text in lines that are no wider."""
    line = ""
    for word in text.split():
        longer = f"{line} {word}".strip()
        if line and wide(longer) > units:
            yield fitted(line, units)
            line = word
        else:
            line = longer
    yield fitted(line, units)


def with_words(svg: str, below: Iterable[str] = ()) -> str:
    """A drawing with its title above it, to be read without a page around it, and with further words below it."""
    said = tuple(below)
    drawn, tall, title, told, parts = _taken_apart(svg)
    wide = max(drawn, _LEAST_FOR_WORDS)
    above = list(lines_of(title, wide - 12))
    under = [line for each in said for line in lines_of(each, wide - 12)]
    top = len(above) * _LINE + 10
    shown = [_text(line, 4 + (place + 1) * _LINE, ' font-weight="bold"') for place, line in enumerate(above)]
    shown.append(f'<g transform="translate(0,{top})">{parts}</g>')
    shown += [_text(line, top + tall + (place + 1) * _LINE) for place, line in enumerate(under)]
    return drawing(wide, top + tall + len(under) * _LINE + 8, title, "; ".join((told, *said)), shown)


def stacked(drawings: Iterable[tuple[str, str]], title: str) -> str:
    """Drawings one below the other, each under its name; no name, no line for it."""
    parts: list[str] = []
    words: list[str] = []
    y = widest = 0.0
    for name, svg in drawings:
        wide, tall, _, told, inner = _taken_apart(svg)
        if name:
            parts.append(_text(fitted(name, wide - 12), y + _LINE, ' font-weight="bold"'))
            y += _LINE + 6
        parts.append(f'<g transform="translate(0,{y:g})">{inner}</g>')
        words.append(f"{name}: {told}" if name else told)
        y, widest = y + tall + 6, max(widest, wide)
    return drawing(widest, y, title, "; ".join(words), parts)


def _taken_apart(svg: str) -> tuple[float, float, str, str, str]:
    """Width, height, title and words of a drawing, and its parts."""
    head, _, parts = svg.partition("</desc>")
    size = head.partition('viewBox="0 0 ')[2].partition('"')[0].split()
    title, _, told = head.partition("<title>")[2].partition("</title><desc>")
    return float(size[0]), float(size[1]), html.unescape(title), html.unescape(told), parts.removesuffix("</svg>")


def _text(line: str, y: float, more: str = "") -> str:
    return f'<text x="6" y="{y:g}"{more}>{escape(line)}</text>'


def as_file(svg: str) -> str:
    """A drawing as a file of its own, on white."""
    begin, _, rest = svg.removeprefix("<svg").partition(">")
    paper = f'<style>{_classes(_LIGHT)}</style><rect width="100%" height="100%" class="paper"/>'
    return f'<svg xmlns="http://www.w3.org/2000/svg"{begin}>{paper}{rest}\n'


def as_png(svg: str) -> bytes:
    return bytes(resvg_py.svg_to_bytes(svg_string=as_file(svg), zoom=_PRINTED_AT))
