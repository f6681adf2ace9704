"""Tags and fields where they stand in a note: a small lexer over the source lines of one segment.

`#` and a letter begin a tag; `key:value` with a known key is a field; what stands behind a backslash or
in a code span (CommonMark 0.31.2, 2.4 and 6.1) is text.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from fightnotes.model import TARGETS, Bout, Fields, Settings, Tag, Vocabulary, fold
from fightnotes.reading.note_blocks import Line, plain_text
from fightnotes.reading.people import STANCES, find_fighter
from fightnotes.reading.placed_yaml import Reporter, excerpt

_KEYS = ("by", "on", "target", "outcome", "stance", "analyst")
_OWN_KEYS = ("by", "on", "target", "outcome")
_TAG = re.compile(r"(?<![\w&#/])#([^\W\d_](?:[^\W_]|-)*(?<!-))(?:\(([^()\n]*)\))?")
_FIELD = re.compile(rf"(?<![\w#:/-])({'|'.join(_KEYS)}):([^\s()\[\],;]*[^\s()\[\],;.!?:'\"*])", re.IGNORECASE)
_WORD = re.compile(r"\w+")
Place = Callable[[int], tuple[int, int]]
"""From an offset in the joined lines to line and column in the file."""


@dataclass(frozen=True)
class Surroundings:
    """What a tag or a field is read against."""

    bout: Bout
    vocabulary: Vocabulary
    settings: Settings
    reporter: Reporter


@dataclass(frozen=True)
class Marks:
    """What the lines of one segment say beside their prose."""

    text: str
    tags: tuple[Tag, ...]
    fields: Fields
    stances: tuple[tuple[str, str], ...]
    """Fighter id and stance, in the order written."""
    analyst: str | None


@dataclass
class _Found:
    values: dict[str, list[str]]
    stances: list[tuple[str, str]]
    analyst: str | None = None

    def fields(self) -> Fields:
        return Fields(**{key: tuple(dict.fromkeys(self.values[key])) for key in _OWN_KEYS})


def read_marks(lines: tuple[Line, ...], around: Surroundings) -> Marks:
    """Tags, fields and prose of consecutive lines of one block; unknown values are reported and stay prose."""
    joined = "\n".join(line.text for line in lines)
    starts = _starts(lines)
    hidden = list(_literal_spans(joined))

    def place(offset: int) -> tuple[int, int]:
        index = bisect_right(starts, offset) - 1
        return lines[index].number, lines[index].column + offset - starts[index]

    tags: list[Tag] = []
    taken: list[tuple[int, int, str]] = []  # begin, stop, the words that a tag has in a sentence
    for match in _TAG.finditer(joined):
        if _inside(match.start(), hidden):
            continue
        own, stop = _own_fields(match, around, place)
        line, column = place(match.start())
        tags.append(
            Tag(written=match[1], concept=around.vocabulary.resolve(match[1]), line=line, column=column, own=own)
        )
        taken.append((match.start(), stop, match[1].replace("-", " ")))
    found = _Found({key: [] for key in _OWN_KEYS}, [])
    for match in _FIELD.finditer(joined):
        if _inside(match.start(), hidden) or any(begin <= match.start() < stop for begin, stop, _ in taken):
            continue
        if _take_field(match[1].lower(), match[2], place(match.start()), found, around):
            taken.append((match.start(), match.end(), ""))
    return Marks(_prose(joined, taken), tuple(tags), found.fields(), tuple(found.stances), found.analyst)


def _starts(lines: tuple[Line, ...]) -> list[int]:
    starts, offset = [], 0
    for line in lines:
        starts.append(offset)
        offset += len(line.text) + 1
    return starts


def _literal_spans(text: str) -> Iterator[tuple[int, int]]:
    """Escaped characters and code spans, as begin and stop."""
    position = 0
    while position < len(text):
        char = text[position]
        if char == "\\":
            yield position, position + 2
            position += 2
        elif char == "`":
            run = re.compile(r"`+").match(text, position)
            assert run is not None
            close = re.compile(rf"(?<!`){run[0]}(?!`)").search(text, run.end())
            if close:
                yield position, close.end()
            position = close.end() if close else run.end()
        else:
            position += 1


def _inside(offset: int, spans: list[tuple[int, int]]) -> bool:
    return any(begin <= offset < stop for begin, stop in spans)


def _own_fields(match: re.Match[str], around: Surroundings, place: Place) -> tuple[Fields, int]:
    """The fields in a tag's parentheses and where the tag stops; parentheses with other words are prose."""
    bare_stop = match.end(1)
    if match[2] is None:
        if match.string.startswith("(", bare_stop) and _FIELD.match(match.string, bare_stop + 1):
            line, column = place(bare_stop)
            around.reporter.at(line, column, "an open parenthesis behind a tag", "its fields and a closing one")
        return Fields(), bare_stop
    parts = list(re.compile(r"\S+").finditer(match.string, match.start(2), match.end(2)))
    fields = [_FIELD.fullmatch(part[0]) for part in parts]
    if not parts or not all(field and field[1].lower() in _OWN_KEYS for field in fields):
        return Fields(), bare_stop
    found = _Found({key: [] for key in _OWN_KEYS}, [])
    for part, field in zip(parts, fields, strict=True):
        assert field is not None
        _take_field(field[1].lower(), field[2], place(part.start()), found, around)
    return found.fields(), match.end()


def _take_field(key: str, value: str, place: tuple[int, int], found: _Found, around: Surroundings) -> bool:
    """Adds a field's value to `found`; reports one that is not known, and tells whether it was."""
    if key == "analyst":
        found.analyst = value
        return True
    if key == "stance":
        name, _, stance = value.partition("=")
        fighter = find_fighter(around.bout, name)
        if fighter is None or fold(stance) not in STANCES:
            expected = f"a fighter of the bout, = and one of {', '.join(STANCES)}"
            around.reporter.at(*place, excerpt(f"{key}:{value}"), expected)
            return False
        found.stances.append((fighter, fold(stance)))
        return True
    known = find_fighter(around.bout, value) if key in ("by", "on") else _listed(key, value, around.settings)
    if known is None:
        around.reporter.at(*place, excerpt(f"{key}:{value}"), f"one of {', '.join(_choices(key, around))}")
        return False
    found.values[key].append(known)
    return True


def _listed(key: str, value: str, settings: Settings) -> str | None:
    word = fold(value).replace(" ", "-")
    return word if word in (TARGETS if key == "target" else settings.outcomes) else None


def _choices(key: str, around: Surroundings) -> tuple[str, ...]:
    if key in ("by", "on"):
        return tuple(fighter.id for fighter in around.bout.fighters) or ("the fighters in the front matter",)
    return TARGETS if key == "target" else around.settings.outcomes


def _prose(joined: str, taken: list[tuple[int, int, str]]) -> str:
    """The text without its marks. A tag with prose on both sides that does not say its words yet keeps them."""
    taken = sorted(taken)
    pieces, position = [], 0
    for begin, stop, _ in taken:
        pieces.append(joined[position:begin])
        position = stop
    pieces.append(joined[position:])
    bare = fold(" ".join(pieces))
    kept = [pieces[0]]
    for index, (_, _, words) in enumerate(taken):
        before = _WORD.search("".join(pieces[: index + 1]))
        after = _WORD.search("".join(pieces[index + 1 :]))
        kept.append(words if before and after and fold(words) not in bare else "")
        kept.append(pieces[index + 1])
    return plain_text("".join(kept))
