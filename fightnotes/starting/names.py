"""What the name of a file, or a heading, says of a bout: its day, and who fights."""

from __future__ import annotations

import datetime
import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath

from fightnotes.language import in_notes
from fightnotes.model import fold
from fightnotes.reading.dates import find_date

Sides = tuple[str, str]
"""The names of two fighters, in the order in which they stand."""

_OPPOSED = re.compile(rf"\s(?:{in_notes.OPPOSED})\.?(?=\s)", re.IGNORECASE)
_ASIDE = re.compile(r"\([^()]*\)|\[[^\[\]]*\]")
_EMPTY_ASIDE = re.compile(r"\(\s*\)|\[\s*\]")
_PARTING = re.compile(r"[,;:/|\\–—]|\s-\s|[()\[\]]")
_NUMERAL = re.compile(r"[IVX]{2,}")
_NAME_WORD = re.compile(r"[^\W\d_]+(?:['’.-][^\W\d_]+)*\.?")
_MOST_WORDS = 4
_LOWER_CASE_WORDS = 2
"""How many words a name in lower case may have, where nothing tells where it ends."""


@dataclass(frozen=True)
class NameFacts:
    title: str
    """The words of the name without its date."""
    words: tuple[str, ...]
    """Folded, by which two names are held against each other; without `v` and the date."""
    days: tuple[datetime.date, ...] = ()
    """Its day, or the two that it may be."""
    sides: Sides | None = None
    sure: bool = True
    """Whether the sides are written as names are, with capitals."""

    @property
    def date(self) -> datetime.date | None:
        return self.days[0] if len(self.days) == 1 else None


def facts_of_name(text: str) -> NameFacts:
    """What a name says; two names stand on the two sides of a `v`."""
    text = unicodedata.normalize("NFC", text)
    found = find_date(text)
    spaced = _spaced(text if found is None else f"{text[: found.begin]} {text[found.stop :]}")
    sides = _sides_of(spaced)
    title = " ".join(_EMPTY_ASIDE.sub(" ", spaced).split()).strip(" -–—,.;:|")
    words = tuple(re.findall(r"\w+", _OPPOSED.sub(" ", fold(f" {spaced} "))))
    sure = sides is not None and not any(side.islower() for side in sides)
    cased = None if sides is None else (_cased(sides[0]), _cased(sides[1]))
    return NameFacts(title, words, found.days if found else (), cased, sure)


def facts_of_file(file: str) -> NameFacts:
    """The same of a path: where the file's own name says nothing, its folder's; a day that only the folder has."""
    path = PurePosixPath(file)
    own = facts_of_name(path.stem)
    if not path.parent.name:
        return own
    folder = facts_of_name(path.parent.name)
    if own.sides is None and not own.days and folder.sides:
        return folder
    days = own.days or folder.days
    return NameFacts(own.title, own.words, days, own.sides, own.sure)


def surname(name: str) -> str:
    """Folded, by which two forms of a name are held against each other."""
    return fold(name.rsplit(maxsplit=1)[-1]).strip(".")


def fuller(sides: Sides, others: Iterable[Sides]) -> Sides:
    """The sides, each in the longest form that the others have of a name with the same last word."""
    names = [name for pair in others for name in pair]
    return (_fullest(sides[0], names), _fullest(sides[1], names))


def _fullest(name: str, names: Sequence[str]) -> str:
    same = [other for other in names if surname(other) == surname(name)]
    return max((name, *same), key=lambda each: len(each.split()))


def is_other_of_series(words: Sequence[str]) -> bool:
    """Whether what a name says beyond another's may make it another bout of the same two."""
    return any(re.fullmatch(r"[ivx]+|[0-9]|rematch", word) for word in words)


def _spaced(text: str) -> str:
    """With blanks for what stands for them: underscores, and where there are no blanks, hyphens and dots."""
    text = text.replace("_", " ")
    return text if re.search(r"\S\s+\S", text) else re.sub(r"[-.]+", " ", text)


def _sides_of(text: str) -> Sides | None:
    match = _OPPOSED.search(text)
    if match is None:
        return None
    left = _PARTING.split(_ASIDE.sub(" ", text[: match.start()]).strip(" -–—,:"))[-1]
    right = _PARTING.split(_ASIDE.sub(",", text[match.end() :]).strip())[0]
    first = _name_of(left.split()[::-1])[::-1]
    second = _name_of(right.split())
    return (" ".join(first), " ".join(second)) if first and second else None


def _name_of(words: Sequence[str]) -> list[str]:
    """The words of a name that begins with the first of `words`; of one that is read backwards, its last."""
    name: list[str] = []
    lower = bool(words) and words[0].islower() and words[0] not in in_notes.NAME_PARTICLES
    for word in words:
        if not _NAME_WORD.fullmatch(word) or _NUMERAL.fullmatch(word) or fold(word) in in_notes.NOT_IN_NAMES:
            break
        if not lower and word[0].islower() and fold(word) not in in_notes.NAME_PARTICLES:
            break
        name.append(word)
    return name[: _LOWER_CASE_WORDS if lower else _MOST_WORDS]


def _cased(name: str) -> str:
    """With capitals where it has none, or nothing else."""
    return name.title() if name.islower() or (name.isupper() and len(name) > 3) else name
