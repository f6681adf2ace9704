"""The main job of `sheet`: two fighters before they meet, each by what the notes have of all bouts."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from fightnotes.briefing.asked_of import name_of
from fightnotes.briefing.cited import moment_as_json
from fightnotes.briefing.nearby import AT_ONCE, nearby
from fightnotes.briefing.numbers import FEWEST
from fightnotes.briefing.sheet_lines import Section, Studied
from fightnotes.briefing.sheet_sections import sections_of
from fightnotes.errors import UsageError
from fightnotes.index.store import Store
from fightnotes.model import fold, unknown_name
from fightnotes.model.cautions import CAUTIONS
from fightnotes.search.filters import Filters, acts_sought
from fightnotes.search.people import fighters_by_form, known_fighters
from fightnotes.tally.basis import Basis, basis_of
from fightnotes.tally.coverage import Coverage, Rounds
from fightnotes.tally.figures import Figures, figures_of, seen_in
from fightnotes.tally.so_many import so_many

_OF_ACTS = ("by", "on", "fighter", "corner", "outcome", "pairing", "tags", "alone")
"""Filters that a sheet has no room for: it says these things itself."""


@dataclass(frozen=True)
class BoutStudied:
    """A bout of a fighter that the sheet rests on."""

    id: str
    title: str
    date: datetime.date | None
    against: tuple[str, ...]
    coverage: Coverage
    together: bool
    """Whether it was against the other of the sheet."""


@dataclass(frozen=True)
class FighterSheet:
    id: str
    name: str
    stance: str | None
    bouts: tuple[BoutStudied, ...]
    coverage: Coverage
    by_round: tuple[tuple[int, Figures], ...]
    """All acts in each round of which something is noted."""
    sections: tuple[Section, ...]

    def as_json(self) -> dict[str, Any]:
        return {
            "id": self.id,
            "name": self.name,
            "stance": self.stance,
            "bouts": [
                {
                    "bout": bout.id,
                    "title": bout.title,
                    "date": bout.date and bout.date.isoformat(),
                    "against": list(bout.against),
                    "coverage": bout.coverage.model_dump(),
                    "together": bout.together,
                }
                for bout in self.bouts
            ],
            "coverage": self.coverage.model_dump(),
            "by_round": [{"round": number, **figures.as_json()} for number, figures in self.by_round],
            "sections": [section.as_json() for section in self.sections],
        }


@dataclass(frozen=True)
class MatchSheet:
    title: str
    fighters: tuple[FighterSheet, FighterSheet]
    notices: tuple[str, ...]
    """What a reader of the numbers has to know."""
    cautions: tuple[str, ...] = CAUTIONS

    def as_json(self) -> dict[str, Any]:
        """Plain values; each moment once, by its place, in `moments`."""
        hits = {
            hit.place: hit
            for fighter in self.fighters
            for section in fighter.sections
            for line in (*section.lines, *section.few)
            for hit in line.moments
        }
        return {
            "title": self.title,
            "fewest": FEWEST,
            "fighters": [fighter.as_json() for fighter in self.fighters],
            "moments": {place: moment_as_json(hit) for place, hit in hits.items()},
            "notices": list(self.notices),
            "cautions": list(self.cautions),
        }


def match_sheet(
    store: Store,
    first: str,
    second: str,
    filters: Filters = Filters(),  # noqa: B008  immutable
    *,
    inferred: bool = False,
) -> MatchSheet:
    """Raises UnknownName for a fighter whom the library does not know; UsageError for one fighter named twice, for a
    name of several, and for filters of acts."""
    given = [name for name in _OF_ACTS if getattr(filters, name) != getattr(Filters(), name)]
    if given:
        raise UsageError(f"a sheet looks at all that both do: leave out {', '.join(given)}")
    people = (_fighter(store, first), _fighter(store, second))
    if people[0] == people[1]:
        raise UsageError(f"both names are {name_of(people[0], store)}: a sheet is of two fighters")
    base = basis_of(store, filters, inferred=inferred)
    near = nearby(base.acts, dict(base.bouts))
    sheets = []
    for one, other in (people, people[::-1]):
        studied = Studied(store, _of_one(base, one, store), base, near, one, other)
        sheets.append(_sheet_of(studied))
    names = [sheet.name for sheet in sheets]
    together = sum(bout.together for bout in sheets[0].bouts)
    met = f"{so_many(together, 'bout')} of them against each other" if together else "none of them against each other"
    return MatchSheet(
        f"{names[0]} and {names[1]}",
        (sheets[0], sheets[1]),
        (
            f"all bouts of both are counted; {met}",
            f"nothing is claimed from fewer than {FEWEST} acts, no share from fewer with an outcome",
            f"an answer is what another did that succeeded, in the same note or begun within {AT_ONCE} s",
            "intervals are of 95 %: Wilson's for shares, Garwood's for rates; nothing is adjusted for how many lines "
            "there are, but trends are",
            *_of_all(base.notices(base.acts)),
        ),
    )


def _of_all(notices: Sequence[str]) -> tuple[str, ...]:
    """Without what counts the acts of fighters who are not on the sheet."""
    return tuple(notice for notice in notices if not notice.startswith("in no noted round"))


def _fighter(store: Store, written: str) -> str:
    forms = fighters_by_form(store)
    if fold(written) not in forms:
        raise unknown_name("fighter", written, forms)
    found = forms[fold(written)]
    if len(found) > 1:
        raise UsageError(f"'{written}' names several: {', '.join(found)}")
    return found[0]


def _of_one(base: Basis, fighter: str, store: Store) -> Basis:
    """What `--by` of a fighter would give."""
    bouts = {id: bout for id, bout in base.bouts.items() if fighter in {one.id for one in bout.fighters}}
    filters = base.filters.model_copy(update={"by": (fighter,)})
    return replace(
        base,
        acts=tuple(act for act in base.acts if fighter in act.fields.by and act.bout in bouts),
        bouts=bouts,
        rounds=Rounds(
            noted={key: one for key, one in base.noted.items() if key[0] in bouts},
            held={bout: count for bout, count in base.rounds.held.items() if bout in bouts},
        ),
        sought=acts_sought(filters, store),
        filters=filters,
    )


def _sheet_of(studied: Studied) -> FighterSheet:
    basis, store = studied.basis, studied.store
    person = next(one for one in known_fighters(store) if one.id == studied.fighter)
    bouts = tuple(
        BoutStudied(
            bout.id,
            bout.title,
            bout.date,
            tuple(one.name for one in bout.fighters if one.id != studied.fighter),
            basis.rounds.coverage([bout.id]),
            studied.other in {one.id for one in bout.fighters},
        )
        for bout in basis.bouts.values()
    )
    rounds = sorted({number for _, number in basis.noted})
    by_round = tuple(
        (
            number,
            figures_of(
                [act for act in basis.acts if act.round == number],
                basis.noted,
                seen_in(one for one in basis.noted.values() if one.number == number),
            ),
        )
        for number in rounds
    )
    return FighterSheet(person.id, person.name, person.stance, bouts, basis.coverage, by_round, sections_of(studied))
