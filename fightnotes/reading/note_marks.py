"""Tags and fields where they stand in a note: a small lexer over consecutive source lines of one block.

`#` and a letter begin a tag; `key:value` with a known key is a field. What stands behind a backslash, in a
code span, in HTML or in the target of a link (CommonMark 0.31.2, 2.4 and 6.1 to 6.6) is no mark.
"""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_left, bisect_right
from dataclasses import dataclass, field

from fightnotes.model import TARGETS, Bout, Fields, Settings, Tag, Vocabulary, fold
from fightnotes.reading.excerpt import excerpt
from fightnotes.reading.note_blocks import Line, plain_text
from fightnotes.reading.people import STANCES, find_fighter
from fightnotes.reading.placed_yaml import Reporter

_KEYS = ("by", "on", "target", "outcome", "stance", "analyst")
_OWN_KEYS = ("by", "on", "target", "outcome")
_VALUE = r"[^\s()\[\],;]*[^\s()\[\],;.!?:'\"*_…]"
_FIELD = rf"(?<![^\W_])(?<![#:/-])(?P<key>{'|'.join(_KEYS)}):(?P<value>{_VALUE})"
_FIELD_ALONE = re.compile(_FIELD, re.IGNORECASE)
_MARK = re.compile(
    r"\\."  # an escaped character
    r"|(?P<ticks>`+)"  # a code span begins
    r"|://[^\s<>]*"  # an address
    r"|\]\([^()\s]*\)"  # the target of a link
    r"|<[a-z/!?][^<>]*>"  # HTML, or an address in angle brackets
    r"|(?<![^\W_])(?<![&#/])#(?P<tag>[^\W\d_])"
    rf"|{_FIELD}",
    re.IGNORECASE | re.DOTALL,
)
_OWN = re.compile(r"\(([^()]*)\)")
_TICKS = re.compile(r"`+")
_WORD = re.compile(r"\w")

_NO_FIELDS = Fields()
_GONE = "\0"
"""Stands in prose where a mark was; the lines hold none, as CommonMark replaces it."""
_IN_EMPHASIS = re.compile(rf"(?P<marks>\*\*?|__?){_GONE}(?P=marks)")
_IN_BRACKETS = re.compile(rf"\((?=[^()]*{_GONE})[ ,;{_GONE}]*\)|\[(?=[^\[\]]*{_GONE})[ ,;{_GONE}]*\]")
_BEFORE_STOP = re.compile(rf" ?{_GONE}(?=[,;.:!?](?:[ {_GONE}]|$))")
_LOOSE = re.compile(r"(?<=[(\[])[ ,;]+|[ ,;](?=[)\]])")
_STOPS = " ,;:.!?"
_EDGE = f"{_STOPS}\"'“”‘’*_-–—{_GONE}"


@dataclass(frozen=True)
class Surroundings:
    """What a tag or a field is read against."""

    bout: Bout
    vocabulary: Vocabulary
    settings: Settings
    reporter: Reporter


@dataclass(frozen=True)
class Marks:
    """What consecutive lines say beside their prose."""

    text: str
    tags: tuple[Tag, ...] = ()
    fields: Fields = _NO_FIELDS
    stances: tuple[tuple[str, str], ...] = ()
    """Fighter id and stance, in the order written."""
    analyst: str | None = None


def read_marks(lines: tuple[Line, ...], around: Surroundings) -> Marks:
    """Tags, fields and prose of consecutive lines of one block; unknown values are reported and stay prose."""
    lexer = _Lexer(lines, around)
    lexer.run()
    said = lexer.shared
    prose = _prose(lexer.text, lexer.taken)
    return Marks(prose, tuple(lexer.tags), said.fields(), tuple(said.stances), said.analyst)


@dataclass
class _Said:
    """What fields say, of a segment or of one tag."""

    values: dict[str, list[str]] = field(default_factory=lambda: {key: [] for key in _OWN_KEYS})
    stances: list[tuple[str, str]] = field(default_factory=list)
    analyst: str | None = None

    def fields(self) -> Fields:
        return Fields(**{key: tuple(dict.fromkeys(self.values[key])) for key in _OWN_KEYS})


@dataclass(frozen=True)
class _Taken:
    """A stretch of text that is a mark, with the words that it has in a sentence."""

    begin: int
    stop: int
    words: str = ""


class _Lexer:
    """One pass over the lines, joined with line feeds."""

    def __init__(self, lines: tuple[Line, ...], around: Surroundings) -> None:
        self.text = "\n".join(line.text for line in lines)
        self.tags: list[Tag] = []
        self.shared = _Said()
        self.taken: list[_Taken] = []
        """In the order of the text."""
        self._lines = lines
        self._around = around
        self._starts = [0]
        for line in lines[:-1]:
            self._starts.append(self._starts[-1] + len(line.text) + 1)
        self._runs: dict[int, list[int]] = {}
        """Where the runs of so many backticks begin."""
        for run in _TICKS.finditer(self.text):
            self._runs.setdefault(len(run[0]), []).append(run.start())

    def run(self) -> None:
        position = 0
        while match := _MARK.search(self.text, position):
            position = match.end()
            if match["ticks"]:
                position = self._code_stop(match)
            elif match["tag"]:
                position = self._take_tag(match.start())
            elif match["key"] and self._take_field(match, self.shared):
                self.taken.append(_Taken(match.start(), match.end()))

    def _code_stop(self, opening: re.Match[str]) -> int:
        """Behind the code span that begins with `opening`, or behind the backticks where none closes it."""
        length = len(opening["ticks"])
        starts = self._runs.get(length, [])  # a run that follows an escaped backtick is counted longer
        following = bisect_left(starts, opening.end())
        return starts[following] + length if following < len(starts) else opening.end()

    def _take_tag(self, begin: int) -> int:
        """Adds the tag at `begin`; gives where its own fields, or else its name, stop."""
        stop = _tag_stop(self.text, begin + 1)
        written = self.text[begin + 1 : stop]
        said = _Said()
        self.taken.append(_Taken(begin, stop, written.replace("-", " ")))
        after = self._take_own_fields(stop, said)
        line, column = self._place(begin)
        concept = self._around.vocabulary.resolve(written)
        self.tags.append(Tag(written=written, concept=concept, line=line, column=column, own=said.fields()))
        return after

    def _take_own_fields(self, opening: int, said: _Said) -> int:
        """Reads parentheses behind a tag that hold fields; other words in them stay prose."""
        if not self.text.startswith("(", opening):
            return opening
        parentheses = _OWN.match(self.text, opening)
        if parentheses is None:
            if _FIELD_ALONE.match(self.text, opening + 1):
                found = "an open parenthesis behind a tag"
                self._around.reporter.at(*self._place(opening), found, "its fields and a closing one")
            return opening
        stop = opening
        for match in _FIELD_ALONE.finditer(self.text, opening, parentheses.end()):
            stop = parentheses.end()
            if self._take_field(match, said if match["key"].lower() in _OWN_KEYS else self.shared):
                self.taken.append(_Taken(match.start(), match.end()))
        return stop

    def _take_field(self, match: re.Match[str], said: _Said) -> bool:
        """Adds a field to `said`; reports a value that is not known, and tells whether it was."""
        key, value, bout = match["key"].lower(), match["value"], self._around.bout
        if key == "analyst":
            said.analyst = value
            return True
        if key == "stance":
            name, _, stance = value.partition("=")
            fighter = find_fighter(bout, name)
            if fighter is not None and fold(stance) in STANCES:
                said.stances.append((fighter, fold(stance)))
                return True
            expected = f"one of {_fighters(bout)}, then = and one of {', '.join(STANCES)}"
        elif key in ("by", "on"):
            fighter = find_fighter(bout, value)
            if fighter is not None:
                said.values[key].append(fighter)
                return True
            expected = f"one of {_fighters(bout)}"
        else:
            choices = TARGETS if key == "target" else self._around.settings.outcomes
            word = fold(value).replace(" ", "-")
            if word in choices:
                said.values[key].append(word)
                return True
            expected = f"one of {', '.join(choices)}"
        self._around.reporter.at(*self._place(match.start()), excerpt(match[0]), expected)
        return False

    def _place(self, offset: int) -> tuple[int, int]:
        """Line and column in the file."""
        index = bisect_right(self._starts, offset) - 1
        return self._lines[index].number, self._lines[index].column + offset - self._starts[index]


def _tag_stop(text: str, position: int) -> int:
    """Behind the letters, with the marks that scripts put on them, digits and hyphens of a tag's name."""
    stop = position
    while stop < len(text) and (text[stop].isalnum() or text[stop] == "-" or _is_mark(text[stop])):
        stop += 1
    while text[stop - 1] == "-":
        stop -= 1
    return stop


def _is_mark(char: str) -> bool:
    return unicodedata.category(char).startswith("M")


def _fighters(bout: Bout) -> str:
    return ", ".join(fighter.id for fighter in bout.fighters) or "the fighters in the front matter"


def _prose(text: str, taken: list[_Taken]) -> str:
    """The text without its marks. A tag with prose on both sides that does not say its words yet keeps them."""
    if not taken:
        return plain_text(text)
    stops = [0, *(mark.stop for mark in taken)]
    begins = [*(mark.begin for mark in taken), len(text)]
    pieces = [" ".join(_spaced(text[stop:begin])) for stop, begin in zip(stops, begins, strict=True)]
    wordy = [index for index, piece in enumerate(pieces) if _WORD.search(piece)]
    bare = fold(" ".join(pieces))
    said: dict[str, bool] = {}
    kept = [pieces[0]]
    for index, mark in enumerate(taken, 1):
        inside = bool(mark.words and wordy) and wordy[0] < index <= wordy[-1]
        if inside and mark.words not in said:
            said[mark.words] = fold(mark.words) in bare
        kept += [mark.words if inside and not said[mark.words] else _GONE, pieces[index]]
    return plain_text(_without_gaps("".join(kept)))


def _spaced(text: str) -> list[str]:
    """Words of a piece; a space at its ends stays one."""
    words = text.split()
    if not words:
        return [" "] if text else [""]
    return [*([""] if text[0].isspace() else []), *words, *([""] if text[-1].isspace() else [])]


def _without_gaps(text: str) -> str:
    """Empty brackets, emphasis and stray punctuation go with the marks that they were put around or behind."""
    text = _IN_BRACKETS.sub(_GONE, _IN_EMPHASIS.sub(_GONE, text))
    words = text.strip(_EDGE)
    if not words:
        return ""
    lead, _, tail = text.partition(words)
    if _GONE in lead:
        lead = lead.rpartition(_GONE)[2].lstrip(_STOPS)
    text = lead + words + tail.partition(_GONE)[0]
    text = " ".join(_BEFORE_STOP.sub("", text).replace(_GONE, " ").split())
    return _LOOSE.sub("", text)
