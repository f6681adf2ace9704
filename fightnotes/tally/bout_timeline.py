"""The main job: a bout round by round, with each act at its time and a letter for each of the commonest concepts."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from fightnotes.errors import UsageError
from fightnotes.index.store import Store
from fightnotes.model import Bout, Moment, Segment, Vocabulary
from fightnotes.pages.drawing import with_words
from fightnotes.pages.timeline import DrawnRound, Mark, Side, timeline
from fightnotes.reading.placing import seconds_gone
from fightnotes.search.filters import Filters, acts_sought
from fightnotes.tally.acts import CountedAct
from fightnotes.tally.basis import Basis, basis_of
from fightnotes.tally.filters_said import filters_said
from fightnotes.tally.moments import act_as_json
from fightnotes.tally.so_many import so_many

MOST_LETTERS = 8
KNOCKDOWN, _DOWN = "knockdown", "▼"
_OTHER = "•"
"""Stands for acts of concepts without a letter."""


@dataclass(frozen=True)
class TimedAct:
    act: CountedAct
    letter: str
    gone: float
    """Seconds since its round began."""

    @property
    def said(self) -> str:
        """What was done by whom, and how it came out."""
        fields = self.act.fields
        by = f" by {' and '.join(fields.by)}" if fields.by else ""
        outcome = f", {', '.join(fields.outcome)}" if fields.outcome else ""
        return f"{self.act.concept or 'no tag'}{by}{outcome}"

    @property
    def is_knockdown(self) -> bool:
        return KNOCKDOWN in self.act.fields.outcome


@dataclass(frozen=True)
class TimelineRound:
    number: int
    seconds: float
    """How long it was; 0 where the bout does not say."""
    noted: bool
    acts: tuple[TimedAct, ...]
    """In order of time."""


@dataclass(frozen=True)
class BoutTimeline:
    bout: Bout
    rounds: tuple[TimelineRound, ...]
    key: tuple[tuple[str, str], ...]
    """Letter and concept, the commonest first."""
    unplaced: int
    """Acts that lie in no round, or at no time of it."""
    basis: Basis

    @property
    def notices(self) -> tuple[str, ...]:
        """What a reader has to know."""
        unnoted = [f"R{one.number}" for one in self.rounds if not one.noted]
        notices = [str(self.basis.coverage)]
        if unnoted:
            notices.append(f"not noted, and drawn broken: {', '.join(unnoted)}")
        if self.unplaced:
            notices.append(f"left out, at no time of a round: {so_many(self.unplaced, 'act')}")
        return tuple(notices)

    def picture(self, vocabulary: Vocabulary) -> str:
        """SVG with all that has to be known of it in words."""
        return with_words(self.drawn(vocabulary), self.words)

    def drawn(self, vocabulary: Vocabulary, link: Callable[[Segment], str] | None = None) -> str:
        """SVG: the acts of the red corner above the line of their round, of the blue one below it.

        `link` gives the address of the moment that an act lies in.
        """
        lines = [DrawnRound(f"R{one.number}", one.seconds, one.noted, self._marks(one, link)) for one in self.rounds]
        key = [(letter, vocabulary.called(concept)) for letter, concept in self.key]
        key += [(_OTHER, "anything else")] if any(act.letter == _OTHER for act in self._shown) else []
        key += [(_DOWN, "knockdown")] if any(act.is_knockdown for act in self._shown) else []
        return timeline(lines, key, self.bout.title)

    @property
    def words(self) -> tuple[str, ...]:
        """How it is drawn, what was asked for, and what a reader has to know."""
        corners = [
            f"{where} the line: {fighter.name}, {corner} corner"
            for where, corner, fighter in (("above", "red", self.bout.red), ("below", "blue", self.bout.blue))
            if fighter
        ]
        unsaid = any(self._side(act.act) == "neither" for act in self._shown)
        corners += ["above the line in the colour of the text: by both, or nobody says by whom"] if unsaid else []
        reading = "each line goes from bell to bell, with a tick a minute"
        return *corners, reading, *filters_said(self.basis.filters), *self.notices

    @property
    def _shown(self) -> list[TimedAct]:
        return [act for one in self.rounds for act in one.acts]

    def _marks(self, one: TimelineRound, link: Callable[[Segment], str] | None) -> list[Mark]:
        """Behind the letters of a time a knockdown, once a side."""
        marks: list[Mark] = []
        downs: dict[tuple[float, Side], Mark] = {}
        for act in one.acts:
            side = self._side(act.act)
            told = f"{self.clock(act)} {act.said}".strip()
            leads_to = link(act.act.segment) if link else ""
            marks.append(Mark(act.gone, act.letter, side, told, leads_to))
            if act.is_knockdown:
                downs.setdefault((act.gone, side), Mark(act.gone, _DOWN, side, KNOCKDOWN, leads_to))
        return [*marks, *downs.values()]

    def _side(self, act: CountedAct) -> Side:
        corners = {self.bout.corner_of(fighter) for fighter in act.fields.by}
        return (corners.pop() if len(corners) == 1 else None) or "neither"

    def clock(self, act: TimedAct) -> str:
        return Moment(segment=act.act.segment, bout=self.bout).round_clock or ""

    def as_json(self) -> dict[str, Any]:
        return {
            "bout": self.bout.id,
            "title": self.bout.title,
            "coverage": self.basis.coverage.model_dump(),
            "notices": list(self.notices),
            "key": [{"letter": letter, "concept": concept} for letter, concept in self.key],
            "rounds": [
                {
                    "round": one.number,
                    "seconds": one.seconds,
                    "noted": one.noted,
                    "acts": [
                        {"letter": act.letter, "seconds_gone": act.gone, **act_as_json(act.act, self.bout)}
                        for act in one.acts
                    ],
                }
                for one in self.rounds
            ],
        }


def bout_timeline(
    store: Store,
    bout: str,
    filters: Filters = Filters(),  # noqa: B008  immutable
    *,
    inferred: bool = False,
) -> BoutTimeline:
    """A bout by its id. Each tag of the filters has a letter, with its narrower concepts, and nothing else is shown but
    knockdowns; without tags the `MOST_LETTERS` commonest concepts have one, as they are tagged. Raises UnknownName,
    UsageError for more tags than letters.
    """
    if len(filters.tags) > MOST_LETTERS:
        raise UsageError(f"a timeline has {MOST_LETTERS} letters: give no more tags")
    everything = filters.model_copy(update={"tags": (), "bout": (bout,)})
    basis = basis_of(store, everything, inferred=inferred)
    told = basis.bouts.get(bout) or next(iter(basis.bouts.values()), None) or store.bouts[bout]
    sought = acts_sought(filters, store).tags
    if sought:
        names = [store.vocabulary.name_of(tag) for tag in filters.tags]
        meant = list(zip(names, sought, strict=True))
    else:
        counts = Counter(act.concept for act in basis.acts if act.concept)
        commonest = sorted(counts.items(), key=lambda item: (-item[1], item[0]))[:MOST_LETTERS]
        meant = [(concept, frozenset({concept})) for concept, _ in commonest]
    letters = dict(zip("ABCDEFGH", meant, strict=False))

    def letter_of(act: CountedAct) -> str:
        return next((letter for letter, (_, means) in letters.items() if act.concept in means), _OTHER)

    lettered = [(act, letter_of(act)) for act in basis.acts]
    shown = [
        (act, letter) for act, letter in lettered if letter != _OTHER or not sought or KNOCKDOWN in act.fields.outcome
    ]
    placed = [
        (act.round, TimedAct(act, letter, float(gone)))
        for act, letter in shown
        if act.round is not None and (gone := seconds_gone(act.segment, told)) is not None
    ]
    return BoutTimeline(
        bout=told,
        rounds=tuple(_rounds(placed, told, basis, filters)),
        key=tuple((letter, concept) for letter, (concept, _) in letters.items()),
        unplaced=len(shown) - len(placed),
        basis=basis,
    )


def _rounds(placed: Sequence[tuple[int, TimedAct]], bout: Bout, basis: Basis, filters: Filters) -> list[TimelineRound]:
    first = (filters.rounds or (1, 1))[0]
    last = max([first - 1 + basis.rounds.held.get(bout.id, 0), *(number for number, _ in placed)])
    length = float(bout.rounds.length) if bout.rounds else 0.0
    rounds = []
    for number in range(first, last + 1):
        acts = sorted((act for there, act in placed if there == number), key=lambda act: act.gone)
        noted = basis.noted.get((bout.id, number))
        seconds = length * noted.part if noted else length
        rounds.append(TimelineRound(number, seconds, noted is not None, tuple(acts)))
    return rounds
