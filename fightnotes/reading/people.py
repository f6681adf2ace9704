"""Fighters as front matter and `library.yaml` describe them, and the forms by which they are found."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import get_args

from fightnotes.model import Bout, Fighter, Stance, fold
from fightnotes.reading.placed_yaml import Item, Reporter, items_of, mapping_of, text_of, texts_of

STANCES: tuple[str, ...] = get_args(Stance)
_KEYS = ("id", "name", "also", "misheard", "stance")
_NOT_IN_ID = re.compile(r"[^\w-]+")


def fighter_id(name: str) -> str:
    """The last word of the name in lower case, without what a field's value cannot hold."""
    words = name.split()
    return _NOT_IN_ID.sub("", words[-1]).lower() if words else ""


def fighter_from(item: Item, known: dict[str, Fighter], reporter: Reporter) -> Fighter | None:
    """A fighter from a mapping, or from a name or id alone; what `known` holds under the same id is joined in."""
    if item.text is not None:
        alone = item.text.strip()
        named = known.get(alone) or _by_form(alone, known.values())
        return named or (Fighter(id=fighter_id(alone), name=alone) if fighter_id(alone) else None)
    found = mapping_of(item, _KEYS, reporter)
    name, given_id = text_of(found.get("name"), reporter), text_of(found.get("id"), reporter)
    identity = given_id or fighter_id(name or "")
    if not identity:
        reporter.of(item, "a fighter's name or id")
        return None
    stance = text_of(found.get("stance"), reporter)
    if stance is not None and stance.casefold() not in STANCES:
        reporter.of(found["stance"], f"one of {', '.join(STANCES)}")
        stance = None
    joined = known.get(identity)
    return Fighter(
        id=identity,
        name=name or (joined.name if joined else identity),
        also=_union(texts_of(found.get("also"), reporter), joined.also if joined else ()),
        misheard=_union(texts_of(found.get("misheard"), reporter), joined.misheard if joined else ()),
        stance=stance.casefold() if stance else (joined.stance if joined else None),  # type: ignore[arg-type]
    )


def fighters_from(item: Item | None, reporter: Reporter) -> tuple[Fighter, ...]:
    """The `fighters:` list of `library.yaml`; an id that comes twice is reported."""
    people: dict[str, Fighter] = {}
    for child in items_of(item, reporter) if item else ():
        fighter = fighter_from(child, {}, reporter)
        if fighter is None:
            continue
        if fighter.id in people:
            reporter.of(child, f"one entry for '{fighter.id}'")
            continue
        people[fighter.id] = fighter
    return tuple(people.values())


def forms_of(fighter: Fighter) -> tuple[str, ...]:
    """Every written form of a fighter, misheard ones left out."""
    return _union((fighter.id, fighter.name), (fighter.id, *fighter.also))


def find_fighter(bout: Bout, written: str) -> str | None:
    """The id of the bout's fighter whom a field's value names, by any form or by corner."""
    for corner, fighter in (("red", bout.red), ("blue", bout.blue)):
        if fighter and fold(written) == corner:
            return fighter.id
    named = _by_form(written, bout.fighters)
    return named.id if named else None


def _by_form(written: str, people: Iterable[Fighter]) -> Fighter | None:
    wanted = fold(written)
    for fighter in people:
        if any(fold(form) == wanted for form in forms_of(fighter)):
            return fighter
    return None


def _union(first: tuple[str, ...], second: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*first, *second)))
