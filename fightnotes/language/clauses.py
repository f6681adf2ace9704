"""A text in clauses: the pieces of it that tell of one thing each."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from fightnotes.language import in_notes, spoken
from fightnotes.language.words import says_anything

_SENTENCE_END = re.compile(r"(?:(?<!\b[^\W\d_])\.|[;:!?\n]|…)+(?=\s|$)\s*")
"""The stop behind an initial ends nothing."""
_CLAUSE_END = re.compile(
    rf",\s+|\s(?:[-–]+|[-=–]?>|→)\s|—|\(|\)|(?={spoken.CLAUSE_OPENERS}|{spoken.CLAUSE_JOINERS}|{in_notes.SUBJECT_AHEAD})",
    re.IGNORECASE,
)


@dataclass(frozen=True)
class Clause:
    """`text[begin:stop]` of the text that it is cut from."""

    begin: int
    stop: int
    sentence: int
    """Number of the sentence that it is part of, from 0."""

    def __contains__(self, place: int) -> bool:
        return self.begin <= place < self.stop


def clauses_of(text: str) -> list[Clause]:
    """Each with words in it, in order."""
    found: list[Clause] = []
    for number, (begin, stop) in enumerate(_pieces(text, 0, len(text), _SENTENCE_END)):
        parts = (part for part in _pieces(text, begin, stop, _CLAUSE_END) if says_anything(text, *part))
        found.extend(Clause(*part, number) for part in parts)
    return found


def _pieces(text: str, begin: int, stop: int, ends: re.Pattern[str]) -> Iterator[tuple[int, int]]:
    here = begin
    for match in ends.finditer(text, begin, stop):
        if match.start() > here:
            yield here, match.start()
        here = match.end()
    if here < stop:
        yield here, stop
