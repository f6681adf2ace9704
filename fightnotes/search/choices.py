"""What a person can choose from when he asks a library: its people, bouts, tags and words of fields."""

from __future__ import annotations

from fightnotes.index.store import Store
from fightnotes.model import Bout, Fighter, Record
from fightnotes.search.once import once_per_store
from fightnotes.search.people import known_fighters


class TagChoice(Record):
    name: str
    """The concept's id, or the tag's own words where the vocabulary lacks it."""
    label: str
    """The concept's preferred label; else as the name."""
    moments: int
    """How many notes bear it, without those of its narrower concepts."""


class Choices(Record):
    fighters: tuple[Fighter, ...]
    """By id."""
    bouts: tuple[Bout, ...]
    """The oldest first."""
    tags: tuple[TagChoice, ...]
    """All concepts in the order of the vocabulary, then tags that it lacks."""
    analysts: tuple[str, ...]
    outcomes: tuple[str, ...]
    targets: tuple[str, ...]
    notes: int
    """How many pieces of notes and transcripts there are."""

    @property
    def commonest(self) -> tuple[TagChoice, ...]:
        """The tags that are in use, the commonest first."""
        return tuple(sorted((tag for tag in self.tags if tag.moments), key=lambda tag: -tag.moments))


@once_per_store
def choices(store: Store) -> Choices:
    """All that its filters take."""
    labels = {concept.id: concept.label for concept in store.vocabulary.concepts}
    names = dict.fromkeys((*labels, *sorted(store.tagged)))
    return Choices(
        fighters=tuple(sorted(known_fighters(store), key=lambda fighter: fighter.id)),
        bouts=tuple(store.bouts.values()),
        tags=tuple(
            TagChoice(name=name, label=labels.get(name, name), moments=len(store.tagged.get(name, ())))
            for name in names
        ),
        analysts=store.analysts,
        outcomes=store.settings.field_values["outcome"],
        targets=store.settings.field_values["target"],
        notes=store.size,
    )
