"""Who stands in which corner, as far as files tell; nobody is made up."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from fightnotes.language import in_notes
from fightnotes.model import Settings, Stance, fold
from fightnotes.reading.people import STANCES, fighter_from, fighter_id, forms_of
from fightnotes.reading.placed_yaml import Item, Reporter
from fightnotes.starting.bouts import Answers, BoutGuess
from fightnotes.starting.names import Sides, surname

_BETWEEN = re.compile(rf"\s+(?:{in_notes.OPPOSED})\.?\s+", re.IGNORECASE)


@dataclass(frozen=True)
class Corner:
    name: str
    stance: Stance | None = None
    id: str | None = None
    """Where the surname alone would be that of the other corner, too."""


def corners_of(guess: BoutGuess, answers: Answers, settings: Settings) -> tuple[Corner | None, Corner | None]:
    """Red and blue: as lines `Red:` and `Blue:` say, else as was answered, else the two that the files name."""
    red, blue = (_corner(guess.labelled.get(key, ""), guess, settings) for key in ("red", "blue"))
    sides = sides_of(guess, answers)
    if sides and not (red and blue):
        first, second = (_corner(side, guess, settings) for side in sides)
        if red or blue:
            taken = surname((red or blue or first).name) if first else ""  # one label alone names the other side, too
            other = next((one for one in (first, second) if one and surname(one.name) != taken), None)
            red, blue = red or other, blue or other
        else:
            red, blue = (second, first) if answers.get("red") == "second" else (first, second)
    if red and blue and fighter_id(red.name) == fighter_id(blue.name):
        red, blue = _with_whole_id(red, "red"), _with_whole_id(blue, "blue")
    return red, blue


def sides_of(guess: BoutGuess, answers: Answers) -> Sides | None:
    """The two names, in order: as answered, else where the files make them sure."""
    answer = answers.get(f"fighters:{guess.file}")
    if answer is not None:
        parts = _BETWEEN.split(answer)
        return (parts[0], parts[1]) if len(parts) == 2 else None
    if guess.name.sides and (guess.name.sure or _are_used(guess.name.sides, guess)):
        return guess.name.sides
    return _acting(guess)


def names_of_sides(guess: BoutGuess, answers: Answers) -> Sides | None:
    """The two names alone, in order, without the stances that an answer may give."""
    sides = sides_of(guess, answers)
    return (_name_alone(sides[0]), _name_alone(sides[1])) if sides else None


def guess_of_sides(guess: BoutGuess) -> str:
    """What a person is offered where nothing is sure; empty where not even a guess can be made."""
    words = [word for word in guess.name.words if not word.isdigit() and word not in in_notes.NOT_IN_NAMES]
    if guess.name.sides:
        return " v ".join(guess.name.sides)
    return " v ".join(word.title() for word in words) if len(words) == 2 else ""


def has_corners(guess: BoutGuess) -> bool:
    """Whether front matter or lines `Red:` and `Blue:` name both already."""
    said = {*guess.labelled, *(key for facts in guess.facts for key in facts.matter)}
    return {"red", "blue"} <= said


def is_pair(text: str) -> bool:
    return len(_BETWEEN.split(text.strip())) == 2


def _are_used(sides: Sides, guess: BoutGuess) -> bool:
    """Whether the notes speak of both."""
    spoken_of = {fold(name) for name in guess.names_in_use}.union(*(facts.capitalised for facts in guess.facts))
    return all(surname(side) in spoken_of for side in sides)


def _acting(guess: BoutGuess) -> Sides | None:
    names = guess.names_in_use
    return (_shown(names[0]), _shown(names[1])) if len(names) == 2 else None


def _shown(word: str) -> str:
    return word.replace("-", " ").title() if word.islower() else word


def _corner(text: str, guess: BoutGuess, settings: Settings) -> Corner | None:
    if not text:
        return None
    fighter = fighter_from(Item(1, 1, text=text), {}, Reporter(guess.file))
    if fighter is None:
        return None
    known = [person for person in settings.fighters if fold(fighter.name) in map(fold, forms_of(person))]
    name = known[0].name if len(known) == 1 else fighter.name
    return Corner(name, fighter.stance or _stance_in_head(fighter.name, guess))


def _stance_in_head(name: str, guess: BoutGuess) -> Stance | None:
    """The stance that stands behind the name in a heading, in brackets."""
    pattern = re.compile(rf"{re.escape(name)}\s*[(\[]\s*({'|'.join(STANCES)})\s*[)\]]", re.IGNORECASE)
    found = (pattern.search(line) for facts in guess.facts for line in facts.head)
    written = next((match[1].lower() for match in found if match), None)
    return next((stance for stance in STANCES if stance == written), None)


def _name_alone(side: str) -> str:
    fighter = fighter_from(Item(1, 1, text=side), {}, Reporter(""))
    return fighter.name if fighter else side


def _with_whole_id(corner: Corner, colour: str) -> Corner:
    """With an id of all words of the name; of one word, with the corner."""
    words = [re.sub(r"[^\w]", "", word).lower() for word in corner.name.split()]
    return replace(corner, id="-".join(words) if len(words) > 1 else f"{words[0]}-{colour}")
