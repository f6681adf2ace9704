"""How the notes of a library use fields with a concept: which target it goes to, how it comes out."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from fightnotes.language.note_reader import NoteReader
from fightnotes.model import Record, Segment, acts_of

UsualKey = Literal["by", "target", "outcome"]
_FEW = 3
_PRIOR = 2.0
"""Uses that speak for no value, beside those of the library."""


class Usual(Record):
    """The commonest value of a field with a concept."""

    concept: str
    value: str
    count: int
    of: int
    """Uses of the concept, with the field or without; in `by`, with it."""

    @property
    def share(self) -> float:
        """Drawn towards none where there are few uses."""
        return (self.count + _PRIOR / 3) / (self.of + _PRIOR)

    def __str__(self) -> str:
        return f"{self.count} of {self.of} other #{self.concept}"


@dataclass(frozen=True)
class Usage:
    values: dict[tuple[str, str], Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    """By concept and key. Outcomes are those of notes whose words tell none: what goes without saying."""
    seen: Counter[tuple[str, str]] = field(default_factory=Counter)
    """Uses that could have had such a value: a step mostly has no target."""
    places: set[str] = field(default_factory=set)
    """Of the notes counted."""
    actors: dict[tuple[str, str], Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    """Who does it, by concept and bout."""
    uses: Counter[str] = field(default_factory=Counter)
    outcomes: dict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    """Of each concept, whether words tell them or not."""
    on: Counter[str] = field(default_factory=Counter)
    """Uses with an `on`."""
    beside: Counter[str] = field(default_factory=Counter)
    """Uses beside other tags."""
    apart: Counter[str] = field(default_factory=Counter)
    """Those among them in which it has fields of its own."""

    def usual(self, concept: str, key: UsualKey, segment: Segment) -> Usual | None:
        """Of the other notes: what `segment` itself has of it does not count."""
        is_counted = segment.place in self.places
        acts = zip(segment.tags, acts_of(segment), strict=True) if is_counted else ()
        own = [getattr(act.fields, key) for tag, act in acts if tag.name == concept]
        known = self.actors.get((concept, segment.bout)) if key == "by" else self.values.get((concept, key))
        counted = (known or Counter()) - Counter(values[0] for values in own if len(values) == 1)
        if not counted:
            return None
        value, count = counted.most_common(1)[0]
        of = counted.total() if key == "by" else self.seen[concept, key] - len(own)
        return Usual(concept=concept, value=value, count=count, of=of)

    def never_comes_out(self, concept: str, outcome: str) -> bool:
        """Whether the concept has outcomes enough, and this is none of them: a guard is not blocked."""
        known = self.outcomes.get(concept, Counter())
        return known.total() >= _FEW and not known[outcome]

    def stands_apart(self, concept: str) -> bool:
        """Whether it mostly bears fields of its own beside other tags: another acts than in those."""
        return self.apart[concept] * 2 > self.beside[concept]

    def is_done_to_one(self, concept: str) -> bool | None:
        """Whether most uses name whom it is done to; None where they are few."""
        return self.on[concept] * 2 > self.uses[concept] if self.uses[concept] >= _FEW else None


def usage_of(segments: Iterable[Segment], reader: NoteReader) -> Usage:
    """Of the notes that have tags and fields."""
    usage = Usage()
    for segment in segments:
        if segment.kind != "note" or not segment.tags or not (segment.all_of("by") or segment.all_of("outcome")):
            continue
        usage.places.add(segment.place)
        silent = not any(act.outcomes for act in reader.acts(segment))
        for tag, act in zip(segment.tags, acts_of(segment), strict=True):
            concept, said = tag.name, act.fields
            usage.uses[concept] += 1
            usage.on[concept] += bool(said.on)
            usage.beside[concept] += len(segment.tags) > 1
            usage.apart[concept] += len(segment.tags) > 1 and bool(tag.own.by)
            if len(said.by) == 1:
                usage.actors[concept, segment.bout][said.by[0]] += 1
            usage.outcomes[concept].update(said.outcome)
            usage.seen[concept, "target"] += 1
            usage.seen[concept, "outcome"] += silent
            if len(said.target) == 1:
                usage.values[concept, "target"][said.target[0]] += 1
            if len(said.outcome) == 1 and silent:
                usage.values[concept, "outcome"][said.outcome[0]] += 1
    return usage
