"""What waits for a person's decision, one thing after another: marks that notes lack, and forms that were misheard."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from fightnotes.library.suggesting import Suggesting
from fightnotes.library.terms import Terms

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.editing.plan import Plan
    from fightnotes.library.undecided import Undecided
    from fightnotes.model import Segment


@dataclass(frozen=True)
class NoteNow:
    """A note as its file stands now."""

    first: int
    last: int
    """Its lines, from 1."""
    lines: tuple[tuple[int, str], ...]
    """With their numbers, and with those around it."""


class Deciding(Suggesting, Terms):
    """`suggest --review`, and what the page asks one by one."""

    def to_decide(self, above: float | None = None) -> tuple[Undecided, ...]:
        """Marks for notes of at least the probability `above` (0.5), and misheard forms as sure as that, in the order
        of the library's files. Raises StoreMissing."""
        from fightnotes.library.undecided import place_of, sureness
        from fightnotes.suggesting.model import THRESHOLD

        least = THRESHOLD if above is None else above
        marks = [each for each in self.suggest_marks(above=least) if each.writable]
        heard = [each for each in self.propose(limit=None) if each.kind == "misheard" and sureness(each) >= least]
        return tuple(sorted((*marks, *heard), key=place_of))

    def plan_acceptance(self, each: Undecided) -> Plan:
        """Raises as `plan_marks` and `plan_proposal`."""
        from fightnotes.proposing.proposal import Proposal

        return self.plan_proposal(each) if isinstance(each, Proposal) else self.plan_marks([(each.segment, each.name)])

    def plan_refusal(self, each: Undecided) -> Plan:
        """Raises as `plan_rejection` and `plan_term_rejection`."""
        from fightnotes.proposing.proposal import Proposal

        if isinstance(each, Proposal):
            return self.plan_term_rejection(each)
        return self.plan_rejection(each.segment, each.name)

    def plan_other(self, each: Undecided, written: str) -> Plan:
        """Another tag or value in place of the one suggested, which is refused; of a misheard form, whose it is.

        Raises UnknownName, and as the acceptance does.
        """
        from fightnotes.proposing.proposal import Proposal

        if isinstance(each, Proposal):
            return self.plan_proposal(each, "misheard", written)
        taking = self.plan_marks([(each.segment, each.instead(written))])
        refusal = self.plan_rejection(each.segment, each.name)
        return replace(taking, title=f"{taking.title} for {each.name}", edits=(*taking.edits, *refusal.edits))

    def note_now(self, segment: Segment, around: int = 2) -> NoteNow:
        """A note with so many lines before and behind it. Raises UnreadableFile where it is gone."""
        first, last = self.moment_now(segment)
        lines = self.lines_of(segment.file)
        shown = range(max(first - around, 1), min(last + around, len(lines)) + 1)
        return NoteNow(first, last, tuple((number, lines[number - 1]) for number in shown))
