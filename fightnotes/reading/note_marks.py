"""Tags and fields of a note as they are meant: concepts, fighters and values that the library knows; and the prose.

What is a mark at all is for `grammar` to say.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from fightnotes.errors import ProblemKind
from fightnotes.model import ACT_KEYS, Bout, Fields, Settings, Tag, Vocabulary, fold
from fightnotes.reading.excerpt import excerpt
from fightnotes.reading.grammar import FieldMark, TagMark, find_marks, value_word
from fightnotes.reading.note_blocks import JoinedLines, Line, plain_text
from fightnotes.reading.people import STANCES, find_fighter
from fightnotes.reading.placed_yaml import Reporter

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
class NoteContext:
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


def read_marks(lines: tuple[Line, ...], context: NoteContext) -> Marks:
    """Tags, fields and prose of consecutive lines of one block; unknown values are reported and stay prose."""
    reading = _MarksReading(JoinedLines(lines), context)
    reading.run()
    said = reading.shared
    prose = _prose(reading.text, reading.taken)
    return Marks(prose, tuple(reading.tags), said.fields(), tuple(said.stances), said.analyst)


@dataclass
class _Said:
    """What fields say, of a segment or of one tag."""

    values: dict[str, list[str]] = field(default_factory=lambda: {key: [] for key in ACT_KEYS})
    stances: list[tuple[str, str]] = field(default_factory=list)
    analyst: str | None = None

    def fields(self) -> Fields:
        return Fields(**{key: tuple(dict.fromkeys(self.values[key])) for key in ACT_KEYS})


@dataclass(frozen=True)
class _Taken:
    """A stretch of text that is a mark, with the words that it has in a sentence."""

    begin: int
    stop: int
    words: str = ""


class _MarksReading:
    """One pass over the marks of a block."""

    def __init__(self, lines: JoinedLines, context: NoteContext) -> None:
        self.text = lines.text
        self.tags: list[Tag] = []
        self.shared = _Said()
        self.taken: list[_Taken] = []
        """In the order of the text."""
        self._lines = lines
        self._context = context

    def run(self) -> None:
        for mark in find_marks(self.text):
            if isinstance(mark, TagMark):
                self._take_tag(mark)
            else:
                self._take_field(mark, self.shared)

    def _take_tag(self, mark: TagMark) -> None:
        """Adds a tag with its own fields; other words in its parentheses stay prose."""
        said = _Said()
        self.taken.append(_Taken(mark.begin, mark.name_stop, mark.name.replace("-", " ").replace("_", " ")))
        if mark.left_open:
            place = self._lines.place(mark.name_stop)
            self._context.reporter.at(*place, "an open parenthesis behind a tag", "its fields and a closing one")
        for own in mark.fields:
            self._take_field(own, said if own.key in ACT_KEYS else self.shared)
        line, column = self._lines.place(mark.begin)
        concept = self._context.vocabulary.resolve(mark.name)
        self.tags.append(Tag(written=mark.name, concept=concept, line=line, column=column, own=said.fields()))

    def _take_field(self, mark: FieldMark, said: _Said) -> None:
        """Adds a field to `said`, or reports its value where that is not known."""
        expected = self._add_value(mark, said)
        if expected is None:
            self.taken.append(_Taken(mark.begin, mark.stop))
        else:
            found = excerpt(self.text[mark.begin : mark.stop])
            kind: ProblemKind = "unknown-fighter" if mark.key in ("by", "on") else "unknown-value"
            self._context.reporter.at(*self._lines.place(mark.begin), found, expected, kind)

    def _add_value(self, mark: FieldMark, said: _Said) -> str | None:
        """None where the value is known, else what was expected."""
        bout = self._context.bout
        if mark.key == "analyst":
            said.analyst = mark.value
        elif mark.key == "stance":
            name, _, stance = mark.value.partition("=")
            fighter = find_fighter(bout, name)
            if fighter is None or fold(stance) not in STANCES:
                return f"one of {_fighters(bout)}, then = and one of {', '.join(STANCES)}"
            said.stances.append((fighter, fold(stance)))
        elif mark.key in ("by", "on"):
            fighter = find_fighter(bout, mark.value)
            if fighter is None:
                return f"one of {_fighters(bout)}"
            said.values[mark.key].append(fighter)
        else:
            choices = self._context.settings.field_values[mark.key]
            word = value_word(mark.value)
            if word not in choices:
                return f"one of {', '.join(choices)}"
            said.values[mark.key].append(word)
        return None


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
