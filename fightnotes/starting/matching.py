"""Which bout a file belongs to, by its name: the same day and fighters, the same words, or these and more."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterable

from fightnotes.language import in_notes
from fightnotes.starting.names import NameFacts, Sides, is_other_of_series, surname

Words = tuple[str, ...]


class Known:
    """Bouts by number, as they are found by names."""

    def __init__(self) -> None:
        self._by_people: dict[tuple[frozenset[str], datetime.date], list[int]] = defaultdict(list)
        self._by_words: dict[Words, list[tuple[Words, datetime.date | None, int]]] = defaultdict(list)

    def add(self, bout: int, names: Iterable[NameFacts], sides: Sides | None, date: datetime.date | None) -> None:
        if sides and date:
            self._by_people[_people(sides), date].append(bout)
        for name in names:
            if not _says_nothing(name.words):
                self._by_words[name.words[:2]].append((name.words, name.date or date, bout))

    def of(self, name: NameFacts) -> list[int]:
        """The bouts that a name may mean, those of the longest agreement; several where it tells no single one."""
        if name.sides and name.date and (same := self._by_people.get((_people(name.sides), name.date))):
            return list(dict.fromkeys(same))
        if _says_nothing(name.words):
            return []
        near = [known for known in self._by_words.get(name.words[:2], ()) if _may_be(name, known[0], known[1])]
        longest = max((len(words) for words, _, _ in near), default=0)
        return list(dict.fromkeys(bout for words, _, bout in near if len(words) == longest))


def _people(sides: Sides) -> frozenset[str]:
    return frozenset(map(surname, sides))


def _may_be(name: NameFacts, words: Words, date: datetime.date | None) -> bool:
    if name.date and date and name.date != date:
        return False
    if name.words == words:
        return True
    more = name.words[len(words) :]
    same_day = name.date is not None and name.date == date
    return len(words) >= 2 and name.words[: len(words)] == words and (same_day or not is_other_of_series(more))


def _says_nothing(words: Words) -> bool:
    """Whether a name is of the kind that files of many bouts have: `notes`, `round 1`."""
    return all(word.isdigit() or word in in_notes.NOT_IN_NAMES for word in words)
