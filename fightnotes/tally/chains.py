"""Chains of concepts as they were found: how often each ran through, against chance, and its moments."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, Literal

from fightnotes.search.filters import Filters
from fightnotes.search.hit import Hit
from fightnotes.tally.acts import CountedAct
from fightnotes.tally.basis import OBSERVED, Basis
from fightnotes.tally.chain_kinds import BEGINS
from fightnotes.tally.estimate import p_value
from fightnotes.tally.events import Events
from fightnotes.tally.figures import plain_estimate, plain_number
from fightnotes.tally.follow import FEWEST_OF_A_KIND, Following, Who, pair_counts
from fightnotes.tally.lined_up import MOST_TOLD_APART, LinedUp, at_one_time
from fightnotes.tally.moments import act_as_json, hits_of
from fightnotes.tally.trend import LEVEL

Says = Literal["more often than chance", "not clear", "too few"]


@dataclass(frozen=True)
class Chain:
    """One chain of concepts."""

    concepts: tuple[str, ...]
    following: Following
    runs: tuple[tuple[CountedAct, ...], ...]
    """Each time that it ran through: the acts, in turn."""
    fewest: int
    """Acts of the rarest of its concepts, among those with which it may begin and end."""
    tested: bool
    """Whether chance was asked for it and no chain was picked for being common."""

    @property
    def says(self) -> Says | None:
        """None of chains that were picked as the commonest: they are, and chance has no say."""
        if not self.tested:
            return None
        if self.fewest < FEWEST_OF_A_KIND:
            return "too few"
        return "more often than chance" if self.is_clear else "not clear"

    @property
    def is_clear(self) -> bool:
        """Whether chance alone would seldom let it run through so often."""
        return self.p_value is not None and self.p_value < LEVEL and self.fewest >= FEWEST_OF_A_KIND

    @property
    def p_value(self) -> float | None:
        """Adjusted for all pairs that were asked about."""
        if not self.tested:
            return None
        return self.following.p_value if self.following.adjusted is None else self.following.adjusted

    @property
    def verdict(self) -> str:
        """What may be said of it, with what it rests on; nothing where chance has no say."""
        if self.says == "too few":
            return f"too few to say ({self.fewest})"
        return f"{self.says}, {p_value(self.p_value)}" if self.is_clear else self.says or ""

    @property
    def by_whom(self) -> dict[str, int]:
        """How many runs are one fighter's, how many go from one to the other at each step, and the rest."""
        told = {"same": 0, "other": 0, "else": 0}
        for run in self.runs:
            steps = {_who(first, then) for first, then in pairwise(run)}
            told[steps.pop() if len(steps) == 1 else "else"] += 1
        return told

    @property
    def at_one_time(self) -> int:
        """Runs of which all acts are written at one time: their order is that of the tags."""
        return sum(map(at_one_time, self.runs))

    def as_json(self, basis: Basis) -> dict[str, Any]:
        following = self.following
        return {
            "concepts": list(self.concepts),
            "count": following.count,
            "of": following.of,
            "expected": plain_number(following.expected),
            "lift": plain_estimate(following.lift),
            "p": plain_number(following.p_value) if self.tested else None,
            "p_adjusted": plain_number(following.adjusted),
            "says": self.says,
            **{f"{who}_fighter" if who != "else" else "other_or_unsaid": many for who, many in self.by_whom.items()},
            "at_one_time": self.at_one_time,
            "runs": [[act_as_json(act, basis.bouts[act.bout]) for act in run] for run in self.runs],
        }


def _who(first: CountedAct, then: CountedAct) -> str:
    if not first.fields.by or not then.fields.by:
        return "else"
    return "same" if set(first.fields.by) == set(then.fields.by) else "other"


@dataclass(frozen=True)
class Sequences:
    found: tuple[Chain, ...]
    """The surest first; of chains to an outcome the commonest."""
    concepts: tuple[str, ...]
    """Those asked for."""
    to_outcome: str | None
    within: float
    who: Who
    one_after_another: bool
    """Whether what is written at one time follows in that order."""
    filters: Filters
    """What was asked of the first act, too."""
    basis: Basis = field(repr=False)
    lined_up: LinedUp = field(repr=False)
    events: Events = field(repr=False)
    further: int = 0
    """Chains beyond the limit."""
    ending: int | None = None
    """Acts with the outcome that is asked for; None where none is."""

    def table(self, most: int) -> tuple[tuple[str, ...], list[list[int]]]:
        """The concepts of the chain that is asked for, else the commonest, and how many acts of each (in the rows) one
        of each follows."""
        counts = Counter(act.concept for act in self.lined_up.acts if act.concept)
        commonest = sorted(counts, key=lambda name: (-counts[name], name))
        names = tuple(dict.fromkeys(self.concepts)) if len(self.concepts) > 1 else tuple(commonest[:most])
        leads = [name + BEGINS for name in names]
        return names, pair_counts(self.events, leads, names, self.within + MOST_TOLD_APART, self.who)

    @property
    def basis_notices(self) -> tuple[str, ...]:
        """What a reader of the counts has to know."""
        notices = [OBSERVED, f"from the start of one act to the start of the next: {self.within:g} s at most"]
        if self.one_after_another:
            notices.append("what is written at one time follows in the order written")
        left_out = {"without a tag": self.lined_up.untagged, "without a time": self.lined_up.untimed}
        told = [f"{many} {why}" for why, many in left_out.items() if many]
        if told:
            notices.append(f"acts left out: {', '.join(told)}")
        return tuple(notices)

    @property
    def notices(self) -> tuple[str, ...]:
        """The same, and of what was asked."""
        notices = list(self.basis_notices)
        if self.ending is not None:
            few = "; too few to say what leads to it" if self.ending < FEWEST_OF_A_KIND else ""
            notices.append(f"acts with outcome:{self.to_outcome}: {self.ending}{few}")
        if self.further:
            notices.append(f"further chains, beyond the limit: {self.further}")
        return tuple(notices)

    @property
    def nothing(self) -> str:
        """What is said where nothing was found."""
        if self.to_outcome:
            return f"nothing leads to {self.to_outcome} within {self.within:g} s"
        return f"too few to say: of no two concepts with {FEWEST_OF_A_KIND} acts each one follows the other"

    def hits(self, run: Sequence[CountedAct]) -> tuple[Hit, ...]:
        """The moment of each act, as `find` gives it."""
        return tuple(hits_of((act,), self.basis.bouts)[0] for act in run)

    def as_json(self) -> dict[str, Any]:
        """Plain values; what nothing bounds is None."""
        return {
            "concepts": list(self.concepts),
            "to_outcome": self.to_outcome,
            "within": self.within,
            "by": self.who,
            "inferred": self.basis.inferred,
            "coverage": self.basis.coverage.model_dump(),
            "notices": list(self.notices),
            "sequences": [one.as_json(self.basis) for one in self.found],
        }
