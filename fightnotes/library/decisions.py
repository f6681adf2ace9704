"""Decisions that a person takes one after another: each is written when it is taken, the last is taken back first."""

from __future__ import annotations

import threading
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from fightnotes.errors import UsageError
from fightnotes.library.undecided import Undecided, key_of, place_of

if TYPE_CHECKING:
    from fightnotes.editing.plan import Plan
    from fightnotes.library import Library

Verdict = Literal["accepted", "rejected", "changed"]


@dataclass(frozen=True)
class Decision:
    of: Undecided
    verdict: Verdict
    title: str
    """What was written, in words."""
    undo_file: Path | None
    """None where nothing had to be written."""


class Decisions:
    """Those of one sitting; what a library has of them stands in its files."""

    def __init__(self) -> None:
        self.taken: list[Decision] = []
        self._returned: dict[str, Undecided] = {}
        self.one_at_a_time = threading.Lock()
        """For whoever lets several ask at once."""

    @property
    def last(self) -> Decision | None:
        return self.taken[-1] if self.taken else None

    def accept(self, library: Library, each: Undecided) -> Decision:
        return self._take(library, each, "accepted", library.plan_acceptance(each))

    def reject(self, library: Library, each: Undecided) -> Decision:
        return self._take(library, each, "rejected", library.plan_refusal(each))

    def change(self, library: Library, each: Undecided, written: str) -> Decision:
        """Takes another tag, value or name in its place."""
        return self._take(library, each, "changed", library.plan_other(each, written))

    def take_back(self, library: Library) -> Decision:
        """The last, which is none from then on, even where it raises UnreadableFile, as its lines were changed since.

        Raises UsageError where there is none.
        """
        if not self.taken:
            raise UsageError("nothing to undo")
        last = self.taken.pop()
        if last.undo_file:
            library.undo(last.undo_file)
        self._returned[key_of(last.of)] = last.of
        return last

    @property
    def keys(self) -> frozenset[str]:
        """Of all that is decided."""
        return frozenset(key_of(decision.of) for decision in self.taken)

    def waiting(self, found: Iterable[Undecided]) -> tuple[Undecided, ...]:
        """Of what was found, and of what was taken back and is perhaps not found again yet, all that is not decided, in
        the order of the files. Two marks of one name for notes that say the same at the same time are one."""
        decided = self.keys
        by_key = self._returned | {key_of(each): each for each in found}
        return tuple(sorted((each for key, each in by_key.items() if key not in decided), key=place_of))

    def _take(self, library: Library, each: Undecided, verdict: Verdict, plan: Plan) -> Decision:
        decision = Decision(each, verdict, plan.title, library.apply(plan))
        self.taken.append(decision)
        self._returned.pop(key_of(each), None)
        return decision
