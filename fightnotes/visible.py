"""Text that comes from files, made safe for a terminal and for a spreadsheet."""

from __future__ import annotations

import re

_HIDDEN = "\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff"
"""Controls (ISO 6429) but line feed and tab, line and paragraph separators, the twelve characters with the property
Bidi_Control (Unicode Standard Annex 9, section 2), and halves of surrogate pairs, which stand for bytes that are no
UTF-8 (PEP 383)."""
HIDDEN = re.compile(f"[{_HIDDEN}]")
_HIDDEN_ON_A_LINE = re.compile(f"[\t\n{_HIDDEN}]")
_BEGINS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def visible(text: str) -> str:
    r"""What would steer a terminal or turn the order of characters around as an escape, `\x1b` or `\u202e`."""
    return HIDDEN.sub(_escape, text)


def visible_line(text: str) -> str:
    """The same on one line: line feeds and tabs are escaped, too."""
    return _HIDDEN_ON_A_LINE.sub(_escape, text)


def inert_cell(text: str) -> str:
    """A cell of a CSV file that no spreadsheet takes for a formula: an apostrophe goes before what would begin one.

    Source: OWASP, "CSV Injection", the list of characters and the remedy.
    """
    return f"'{text}" if text.startswith(_BEGINS_A_FORMULA) else text


def _escape(match: re.Match[str]) -> str:
    return match[0].encode("unicode_escape").decode()
