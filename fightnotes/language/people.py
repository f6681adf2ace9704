"""Fighters of a bout in running text: by name, initial, corner or stance."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from fightnotes.language import in_notes, spoken
from fightnotes.language.names import NameIndex, NamePlace, find_names, name_index
from fightnotes.language.small_letters import lowered, small_pattern
from fightnotes.language.words import is_content, words_of
from fightnotes.model import Bout

_WORD_BEHIND = re.compile(r"\s+(\w+)")
_INITIAL = re.compile(r"(?<![\w.])([^\W\d_])\.(?=['’\s])")
_CORNERS = small_pattern(in_notes.CORNERS.pattern)
_STANCE_NAMES = small_pattern(in_notes.STANCE_NAMES.pattern)
_LETTER = re.compile(r"(?<![\w.'’-])([^\W\d_])(?:['’]s)?(?![\w.-])(?!['’])")


@dataclass(frozen=True)
class People:
    """The fighters of a bout, ready to be found; `people_of` makes one."""

    ids: tuple[str, ...]
    names: NameIndex
    initials: Mapping[str, str] = field(default_factory=dict)
    """Capital -> the one fighter whose name has a word that begins with it."""
    letters: Mapping[str, str] = field(default_factory=dict)
    """Capital that is written for a fighter -> that one."""
    corners: Mapping[str, str] = field(default_factory=dict)
    stances: Mapping[str, str] = field(default_factory=dict)
    """Stance -> the one fighter who holds it."""

    def opponent(self, fighter: str) -> str | None:
        """The one other fighter of the bout."""
        others = [each for each in self.ids if each != fighter]
        return others[0] if len(others) == 1 and fighter in self.ids else None


def people_of(bout: Bout, *, stances: Mapping[str, str] | None = None, misheard: bool = False) -> People:
    """`stances` are those held at the moment, by fighter, where they are not those of the front matter."""
    held = stances if stances else {one.id: one.stance for one in bout.fighters if one.stance}
    corners = {corner: one.id for corner, one in (("red", bout.red), ("blue", bout.blue)) if one}
    initials: dict[str, set[str]] = defaultdict(set)
    for fighter in bout.fighters:
        for form in (fighter.name, *fighter.also):
            for word in words_of(form):
                initials[word.text[0].upper()].add(fighter.id)
    letters: dict[str, set[str]] = defaultdict(set)
    for fighter in bout.fighters:
        for form in fighter.also:
            if len(form) == 1 and form.isupper():
                letters[form].add(fighter.id)
    return People(
        tuple(one.id for one in bout.fighters),
        name_index(bout.fighters, misheard=misheard),
        {letter: min(who) for letter, who in initials.items() if len(who) == 1 and letter not in in_notes.NOT_INITIALS},
        {letter: min(who) for letter, who in letters.items() if len(who) == 1},
        corners,
        {stance: one for one, stance in held.items() if list(held.values()).count(stance) == 1 and len(held) == 2},
    )


def find_people(text: str, people: People) -> list[NamePlace]:
    """Who is spoken of, in order of place; a form that both fighters share names nobody."""
    named = find_names(text, people.names)
    shared = Counter((place.begin, place.stop) for place in named)
    places = [place for place in named if shared[place.begin, place.stop] == 1]
    small = lowered(text)
    taken = bytearray(len(text))
    for place in (
        *named,
        *_initials(text, people),
        *_letters(text, people),
        *_corners(small, people),
        *_stances(small, people),
    ):
        if not any(taken[place.begin : place.stop]):
            places += [] if (place.begin, place.stop) in shared else [place]
            taken[place.begin : place.stop] = b"\1" * (place.stop - place.begin)
    return sorted(places, key=lambda place: (place.begin, place.stop))


def _initials(text: str, people: People) -> Iterator[NamePlace]:
    for match in _INITIAL.finditer(text):
        if match[1] in people.initials:
            stop = match.end() + (2 if text[match.end() :].startswith(spoken.POSSESSIVE) else 0)
            yield NamePlace(people.initials[match[1]], match.start(), stop)


def _letters(text: str, people: People) -> Iterator[NamePlace]:
    """A capital alone, where the bout or the library has it as a form of the name."""
    for match in _LETTER.finditer(text) if people.letters else ():
        if match[1] in people.letters:
            yield NamePlace(people.letters[match[1]], *match.span())


def _corners(small: str, people: People) -> Iterator[NamePlace]:
    for match in _CORNERS.finditer(small):
        fighter = people.corners.get(match["corner"] or match["dressed"])
        if fighter:
            yield NamePlace(fighter, *match.span())


def _stances(small: str, people: People) -> Iterator[NamePlace]:
    """`the southpaw`; not in `the southpaw stance`, nor before another noun ("the southpaw jab")."""
    for match in _STANCE_NAMES.finditer(small):
        stance = match["stance"] or ("southpaw" if match["handed"] == "left" else "orthodox")
        fighter = people.stances.get(stance)
        noun = _WORD_BEHIND.match(small, match.end())
        if fighter and not (noun and is_content(noun[1]) and not noun[1].endswith(spoken.INFLECTIONS)):
            yield NamePlace(fighter, *match.span())
