"""Fighters as front matter and `library.yaml` describe them, and the forms by which they are found."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from typing import get_args

from fightnotes.model import Bout, Fighter, Stance, fold
from fightnotes.reading.placed_yaml import Item, Reporter, items_of, mapping_of, text_of, texts_of

STANCES: tuple[Stance, ...] = get_args(Stance)
_KEYS = ("id", "name", "also", "misheard", "stance")
_STANCE = "|".join(STANCES)
_WITH_STANCE = re.compile(
    rf"(?P<name>[^,(]*[^,(\s])\s*(?:\(\s*(?P<inside>{_STANCE})\s*\)|,\s*(?P<behind>{_STANCE}))\s*", re.IGNORECASE
)
_NOT_IN_ID = re.compile(r"[^\w-]+")


def fighter_id(name: str) -> str:
    """The last word of the name in lower case, without what a field's value cannot hold."""
    words = name.split()
    return _NOT_IN_ID.sub("", words[-1]).lower() if words else ""


def fighter_from(item: Item, known: dict[str, Fighter], reporter: Reporter) -> Fighter | None:
    """A fighter from a mapping, or from a name or id alone (`Ines Corvale (southpaw)`); what `known` holds of the same
    person is joined in.

    The same person has the same id, or, where no id is given, the same name.
    """
    found = _name_and_stance(item) if item.text is not None else mapping_of(item, _KEYS, reporter)
    if item.text is not None and (named := _with_form(found["name"].text or "", known.values())):
        return named[0].model_copy(update={"stance": _stance_from(found.get("stance"), reporter) or named[0].stance})
    name, given_id = text_of(found.get("name"), reporter), text_of(found.get("id"), reporter)
    derived_id = fighter_id(name or "")
    joined = known.get(given_id or derived_id)
    if joined is None and name and not given_id:
        joined = next((fighter for fighter in known.values() if fold(fighter.name) == fold(name)), None)
    identity = given_id or (joined.id if joined else derived_id)
    if not identity:
        if item.items is None:  # a list is reported already
            reporter.of(item, "a fighter's name or id")
        return None
    stance = _stance_from(found.get("stance"), reporter)
    return Fighter(
        id=identity,
        name=name or (joined.name if joined else identity),
        also=_union(texts_of(found.get("also"), reporter), joined.also if joined else ()),
        misheard=_union(texts_of(found.get("misheard"), reporter), joined.misheard if joined else ()),
        stance=stance or (joined.stance if joined else None),
    )


def _name_and_stance(item: Item) -> dict[str, Item]:
    """`Ines Corvale`, `Ines Corvale (southpaw)` or `Ines Corvale, southpaw`, as a mapping has them."""
    match = _WITH_STANCE.fullmatch(item.text or "")
    if match is None:
        return {"name": item}
    stance = match["inside"] or match["behind"]
    return {"name": replace(item, text=match["name"]), "stance": replace(item, text=stance)}


def _stance_from(item: Item | None, reporter: Reporter) -> Stance | None:
    written = text_of(item, reporter)
    for stance in STANCES:
        if written is not None and written.casefold() == stance:
            return stance
    if item is not None and written is not None:
        reporter.of(item, f"one of {', '.join(STANCES)}")
    return None


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
    """The id of the bout's fighter whom a field's value names, by corner, id or any other form.

    None where no fighter has that form, or both have.
    """
    for corner, fighter in (("red", bout.red), ("blue", bout.blue)):
        if fighter and fold(written) == corner:
            return fighter.id
    named = _with_form(written, bout.fighters)
    by_id = [fighter for fighter in named if fold(fighter.id) == fold(written)]
    alone = by_id if len(by_id) == 1 else named
    return alone[0].id if len(alone) == 1 else None


def _with_form(written: str, people: Iterable[Fighter]) -> list[Fighter]:
    wanted = fold(written)
    return [fighter for fighter in people if any(fold(form) == wanted for form in forms_of(fighter))]


def _union(first: tuple[str, ...], second: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*first, *second)))
