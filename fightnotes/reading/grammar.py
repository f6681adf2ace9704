"""The grammar of marks in a note: tags, fields, and what a tag's name may be. Readers and edits share it.

`#` and a letter begin a tag; `key:value` with a known key is a field; parentheses right behind a tag that hold a field
are the tag's own. What stands behind a backslash, in a code span, in HTML or in the target of a link (CommonMark
0.31.2, 2.4 and 6.1 to 6.6) is no mark. Whether a value or a label is known is for the reader to say.
"""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass

from fightnotes.model import ACT_KEYS, fold

FIELD_KEYS = (*ACT_KEYS, "stance", "analyst")
"""Keys of fields: those that tell of an act, which a tag may have of its own, and those that hold from there on."""

_LETTER = r"[^\W\d_]"
_VALUE = r"[^\s()\[\],;]*[^\s()\[\],;.!?:'\"*_…]"
_FIELD = rf"(?<![^\W_])(?<![#:/-])(?P<key>{'|'.join(FIELD_KEYS)}):(?P<value>{_VALUE})"
_FIELD_ALONE = re.compile(_FIELD, re.IGNORECASE)
_MARK = re.compile(
    r"\\."  # an escaped character
    r"|(?P<ticks>`+)"  # a code span begins
    r"|://[^\s<>]*"  # an address
    r"|\]\([^()\s]*\)"  # the target of a link
    r"|<[a-z/!?][^<>]*>"  # HTML, or an address in angle brackets
    rf"|(?<![^\W_])(?<![&#/])#(?P<tag>{_LETTER})"
    rf"|{_FIELD}",
    re.IGNORECASE | re.DOTALL,
)
_ID_BEGINS = re.compile(_LETTER)
_PARENTHESES = re.compile(r"\(([^()]*)\)")
_TICKS = re.compile(r"`+")
_WORD = re.compile(r"\w")


@dataclass(frozen=True)
class FieldMark:
    """`key:value` at `text[begin:stop]`."""

    begin: int
    stop: int
    key: str
    """One of `FIELD_KEYS`."""
    value: str
    """As written; not empty."""


@dataclass(frozen=True)
class TagMark:
    """A tag at `text[begin:stop]`, with the parentheses that hold its own fields."""

    begin: int
    stop: int
    name: str
    """As written, without `#`."""
    fields: tuple[FieldMark, ...] = ()
    """In the parentheses; those of the keys `stance` and `analyst` are not the tag's alone."""
    left_open: bool = False
    """Whether a parenthesis with a field begins behind it and does not end."""

    @property
    def name_stop(self) -> int:
        return self.begin + 1 + len(self.name)


Mark = TagMark | FieldMark


def find_marks(text: str, position: int = 0) -> Iterator[Mark]:
    """The marks from `position` on, in the order of the text; those in a tag's parentheses are with the tag."""
    code_spans = _CodeSpans(text)
    while match := _MARK.search(text, position):
        position = match.end()
        if match["ticks"]:
            position = code_spans.stop(match)
        elif match["tag"]:
            tag = tag_at(text, match.start())
            position = tag.stop
            yield tag
        elif match["key"]:
            yield _field(match)


def tag_at(text: str, begin: int) -> TagMark:
    """The tag whose `#` stands at `begin`; an underscore inside its name stands for a blank, as a hyphen does."""
    stop = _name_stop(text, begin + 1, "-_")
    name = text[begin + 1 : stop]
    parentheses = _PARENTHESES.match(text, stop)
    if parentheses is None:
        left_open = text.startswith("(", stop) and _FIELD_ALONE.match(text, stop + 1) is not None
        return TagMark(begin, stop, name, left_open=left_open)
    fields = tuple(map(_field, _FIELD_ALONE.finditer(text, stop, parentheses.end())))
    return TagMark(begin, parentheses.end() if fields else stop, name, fields)


def says_more(text: str, begin: int = 0, stop: int | None = None) -> bool:
    """Whether there are words in `text[begin:stop]` beside its marks."""
    end = len(text) if stop is None else stop
    reached = begin
    for mark in find_marks(text[:end], begin):
        if _WORD.search(text, reached, mark.begin):
            return True
        reached = mark.stop
    return _WORD.search(text, reached, end) is not None


def value_word(text: str) -> str:
    """The form in which the value of a field is compared: folded, with hyphens for spaces."""
    return fold(text).replace(" ", "-")


def is_concept_id(text: str) -> bool:
    """Whether a text may stand behind `#`: a letter, then letters, digits and hyphens, with no hyphen last."""
    return _ID_BEGINS.match(text) is not None and _name_stop(text, 0) == len(text)


def concept_id_from(words: str) -> str:
    """The words with hyphens for all that an id cannot hold; no id where it does not begin with a letter."""
    kept = (char if _in_name(char) and char != "-" else " " for char in words)
    return "-".join("".join(kept).split())


def _field(match: re.Match[str]) -> FieldMark:
    return FieldMark(match.start(), match.end(), match["key"].lower(), match["value"])


def _name_stop(text: str, position: int, joints: str = "-") -> int:
    """Behind the name that begins at `position`; its last character is none of the `joints`."""
    stop = position
    while stop < len(text) and (_in_name(text[stop]) or text[stop] in joints):
        stop += 1
    while stop > position and text[stop - 1] in joints:
        stop -= 1
    return stop


def _in_name(char: str) -> bool:
    """A letter, a digit, a hyphen, or a mark that a script puts on letters."""
    return char.isalnum() or char == "-" or unicodedata.category(char).startswith("M")


class _CodeSpans:
    """Where code spans end; the runs of backticks are looked for once."""

    def __init__(self, text: str) -> None:
        self._runs: dict[int, list[int]] = {}
        """Where the runs of so many backticks begin."""
        for run in _TICKS.finditer(text):
            self._runs.setdefault(len(run[0]), []).append(run.start())

    def stop(self, opening: re.Match[str]) -> int:
        """Behind the code span that begins with `opening`, or behind the backticks where none closes it."""
        length = len(opening["ticks"])
        starts = self._runs.get(length, [])  # a run that follows an escaped backtick is counted longer
        following = bisect_left(starts, opening.end())
        return starts[following] + length if following < len(starts) else opening.end()
