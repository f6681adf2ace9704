"""The fighters of a library, by every form of their names."""

from __future__ import annotations

from fightnotes.index.store import Store
from fightnotes.language.names import NameIndex, name_index
from fightnotes.model import Fighter, fold
from fightnotes.search.once import once_per_store


@once_per_store
def known_fighters(store: Store) -> tuple[Fighter, ...]:
    """Everyone in the library's list and in its bouts; one who is in several bouts, with all forms of the name."""
    people: dict[str, Fighter] = {fighter.id: fighter for fighter in store.settings.fighters}
    for bout in store.bouts.values():
        for fighter in bout.fighters:
            known = people.setdefault(fighter.id, fighter)
            if known != fighter:
                people[fighter.id] = known.model_copy(
                    update={
                        "also": tuple(dict.fromkeys((*known.also, *fighter.also, fighter.name))),
                        "misheard": tuple(dict.fromkeys((*known.misheard, *fighter.misheard))),
                    }
                )
    return tuple(people.values())


@once_per_store
def fighter_names(store: Store) -> NameIndex:
    """To find the fighters in a query: what a speech recogniser makes of their names is looked for too."""
    return name_index(known_fighters(store), misheard=True)


@once_per_store
def fighters_by_form(store: Store) -> dict[str, tuple[str, ...]]:
    """Ids of the fighters who have a form of a name, folded, as an analyst writes it in a field."""
    forms: dict[str, dict[str, None]] = {}
    for fighter in known_fighters(store):
        for form in (fighter.id, fighter.name, *fighter.also):
            forms.setdefault(fold(form), {})[fighter.id] = None
    return {form: tuple(people) for form, people in forms.items()}


@once_per_store
def bouts_of_fighters(store: Store) -> dict[str, tuple[str, ...]]:
    """Ids of the bouts that each fighter is in."""
    found: dict[str, list[str]] = {}
    for bout in store.bouts.values():
        for fighter in {fighter.id for fighter in bout.fighters}:
            found.setdefault(fighter, []).append(bout.id)
    return {fighter: tuple(bouts) for fighter, bouts in found.items()}
