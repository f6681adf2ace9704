"""Filters: what a moment must be, whatever the query says of its meaning."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass, replace

from fightnotes.index.criteria import ActCriteria, Criteria
from fightnotes.index.store import Store
from fightnotes.model import Bout, Corner, Fields, Kind, Pairing, Record, as_tag, fold, unknown_name
from fightnotes.search.people import fighters_by_form


class Filters(Record):
    """All that are given must hold; several values of one filter are alternatives, several tags must all be there."""

    by: tuple[str, ...] = ()
    """Fighters who act, by any form of their name."""
    on: tuple[str, ...] = ()
    """Fighters who are acted on."""
    fighter: tuple[str, ...] = ()
    """Fighters who do either."""
    corner: Corner | None = None
    """Of the fighter who acts."""
    pairing: Pairing | None = None
    tags: tuple[str, ...] = ()
    """Concept ids or labels; a concept stands for its narrower ones too."""
    alone: bool = False
    """Take tags for themselves, without their narrower concepts."""
    outcome: tuple[str, ...] = ()
    target: tuple[str, ...] = ()
    rounds: tuple[int, int] | None = None
    """First and last round, both included; a rest counts with the round before it."""
    bout: tuple[str, ...] = ()
    analyst: tuple[str, ...] = ()
    since: datetime.date | None = None
    until: datetime.date | None = None
    kind: Kind | None = None
    written: bool = False
    """Take only fields that somebody wrote, and none that are inferred from the words."""

    @property
    def of_segments(self) -> Filters:
        """Without what is asked of an act and of the stances held at it."""
        of_acts = ("by", "on", "fighter", "corner", "pairing", "tags", "alone", "outcome", "target", "written")
        return Filters(**self.model_dump(exclude=set(of_acts)))


@dataclass(frozen=True)
class ActsSought:
    """What filters ask of one act, in the ids of the library; an empty set asks nothing."""

    tags: tuple[frozenset[str], ...]
    """For each tag asked for, the concepts that answer it."""
    by: frozenset[str]
    on: frozenset[str]
    fighter: frozenset[str]
    outcome: frozenset[str]
    target: frozenset[str]
    bout: frozenset[str]
    analyst: frozenset[str]
    corner: Corner | None
    since: datetime.date | None
    until: datetime.date | None

    @property
    def concepts(self) -> frozenset[str]:
        return frozenset[str]().union(*self.tags)

    def has_fields(self, fields: Fields, bout: Bout) -> bool:
        """Whether an act of the bout has all the fields asked for, whatever its concept."""
        actors = [one for one in fields.by or ("",) if (not self.by or one in self.by) and self._in_corner(one, bout)]
        others = [one for one in fields.on or ("",) if not self.on or one in self.on]
        either = not self.fighter or not self.fighter.isdisjoint((*actors, *others))
        words = (self.outcome, fields.outcome), (self.target, fields.target)
        return bool(actors and others and either) and all(not asked or asked & set(said) for asked, said in words)

    def _in_corner(self, fighter: str, bout: Bout) -> bool:
        return self.corner is None or bout.corner_of(fighter) == self.corner

    def may_happen_in(self, bout: Bout) -> bool:
        """Whether it is asked for, and the fighters that are asked for are in it."""
        there = {fighter.id for fighter in bout.fighters}
        people = all(not asked or asked & there for asked in (self.by, self.on, self.fighter))
        return people and (not self.bout or bout.id in self.bout) and self._on_day(bout.date)

    def _on_day(self, day: datetime.date | None) -> bool:
        """What has no day is on none that is asked for."""
        if day is None:
            return self.since is None and self.until is None
        return (self.since or day) <= day <= (self.until or day)


def acts_sought(filters: Filters, store: Store) -> ActsSought:
    """Raises UnknownName as `matching_ids` does."""
    known = store.settings.field_values
    return ActsSought(
        tags=tuple(map(frozenset, _tag_groups(filters, store))),
        by=frozenset(_fighter_ids(filters.by, store)),
        on=frozenset(_fighter_ids(filters.on, store)),
        fighter=frozenset(_fighter_ids(filters.fighter, store)),
        outcome=frozenset(_listed("outcome", filters.outcome, known["outcome"])),
        target=frozenset(_listed("target", filters.target, known["target"])),
        bout=frozenset(_listed("bout", filters.bout, store.bouts)),
        analyst=frozenset(_listed("analyst", filters.analyst, store.analysts)),
        corner=filters.corner,
        since=filters.since,
        until=filters.until,
    )


def matching_ids(filters: Filters, store: Store) -> list[int] | None:
    """Ids of the segments that pass; None where nothing is filtered.

    A tag's own fields count with that tag: `tags`, `by`, `on`, `corner`, `outcome` and `target` must hold
    together for one act. Raises UnknownName for a fighter, tag, bout, analyst or field value that the library lacks.
    """
    if filters.model_copy(update={"alone": False, "written": False}) == Filters():
        return None
    bouts = _listed("bout", filters.bout, store.bouts)
    analysts = _listed("analyst", filters.analyst, store.analysts)
    groups = _tag_groups(filters, store) or [()]
    act = ActCriteria(
        by=_fighter_ids(filters.by, store),
        on=_fighter_ids(filters.on, store),
        fighter=_fighter_ids(filters.fighter, store),
        corner=filters.corner,
        fields=tuple(
            (key, _listed(key, getattr(filters, key), known)) for key, known in store.settings.field_values.items()
        ),
        written=filters.written,
    )
    return store.matching(
        Criteria(
            bout_files=tuple(store.bouts[bout].file for bout in bouts),
            analysts=analysts,
            pairing=filters.pairing,
            kind=filters.kind,
            rounds=filters.rounds,
            since=filters.since.isoformat() if filters.since else None,
            until=filters.until.isoformat() if filters.until else None,
            acts=tuple(replace(act, concepts=concepts) for concepts in groups),
        )
    )


def _tag_groups(filters: Filters, store: Store) -> list[tuple[str, ...]]:
    """For each tag asked for, the concepts that answer it."""
    vocabulary = store.vocabulary
    groups: list[tuple[str, ...]] = []
    for tag in filters.tags:
        concept = vocabulary.resolve(tag.removeprefix("#"))
        if concept is None:
            written = as_tag(fold(tag.removeprefix("#")))
            if written not in store.tagged:
                raise unknown_name("tag", tag, (*vocabulary.by_label, *store.tagged))
            groups.append((written,))
        else:
            groups.append((concept,) if filters.alone else vocabulary.with_narrower(concept))
    return groups


def _fighter_ids(written: Iterable[str], store: Store) -> tuple[str, ...]:
    forms = fighters_by_form(store)
    found: list[str] = []
    for name in written:
        if fold(name) not in forms:
            raise unknown_name("fighter", name, forms)
        found.extend(forms[fold(name)])
    return tuple(dict.fromkeys(found))


def _listed(what: str, wanted: Iterable[str], known: Iterable[str]) -> tuple[str, ...]:
    """The known values that are wanted, compared folded."""
    by_form = {fold(value): value for value in known}
    for word in wanted:
        if fold(word) not in by_form:
            raise unknown_name(what, word, by_form.values())
    return tuple(by_form[fold(word)] for word in wanted)
