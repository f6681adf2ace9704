"""A suggestion: a mark that a moment lacks, with its probability and the reasons. Nothing is written by it."""

from __future__ import annotations

from typing import Any

from fightnotes.model import Moment, Record


class Reasons(Record):
    """What a suggestion stands on; as text, its parts are joined by semicolons."""

    @property
    def places(self) -> tuple[str, ...]:
        """Of other moments that it names."""
        return ()

    def as_json(self) -> dict[str, Any]:
        return self.model_dump(mode="json") | {"text": str(self)}


class Suggestion(Moment):
    probability: float
    why: Reasons

    @property
    def name(self) -> str:
        """By which it is accepted and refused: a concept's id, or `key:value`."""
        raise NotImplementedError

    @property
    def mark(self) -> str:
        """As it would be written into the note."""
        raise NotImplementedError

    @property
    def title(self) -> str:
        """The mark, with the label where that says more."""
        return self.mark

    @property
    def asked_for(self) -> str:
        """What a person gives who wants another in its place."""
        return "tag"

    def instead(self, written: str) -> str:
        """The name of that other."""
        return written

    @property
    def writable(self) -> bool:
        """Marks are written into notes, never into transcripts."""
        return self.segment.kind == "note"

    def as_json(self) -> dict[str, Any]:
        """The moment's plain values with the mark, its probability and the reasons."""
        return super().as_json() | {
            "mark": self.mark,
            "concept": None,
            "label": None,
            "field": None,
            "value": None,
            "probability": self.probability,
            "score": self.probability,
            "writable": self.writable,
            "why": self.why.as_json(),
        }
