"""Tags and fields that the moments of a library lack."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from fightnotes.library.opened import Opened

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.editing.plan import Plan
    from fightnotes.model import Segment
    from fightnotes.suggesting.suggest import MarkKind, TagSuggestion
    from fightnotes.suggesting.suggestion import Suggestion


class Suggesting(Opened):
    """`suggest`."""

    def suggest(
        self, *, above: float | None = None, bouts: Sequence[str] = (), limit: int | None = None
    ) -> tuple[TagSuggestion, ...]:
        """Tags that moments lack, of at least the probability `above` (0.5), the most probable first."""
        from fightnotes.suggesting.model import THRESHOLD
        from fightnotes.suggesting.rejected import read_rejections
        from fightnotes.suggesting.suggest import suggest

        least = THRESHOLD if above is None else above
        return suggest(self.store, threshold=least, bouts=bouts, limit=limit, rejected=read_rejections(self.root))

    def suggest_marks(
        self,
        *,
        above: float | None = None,
        bouts: Sequence[str] = (),
        only: MarkKind | None = None,
        limit: int | None = None,
    ) -> tuple[Suggestion, ...]:
        """Tags and fields that moments lack, or `only` one of them, the most probable first; as `suggest` else."""
        from fightnotes.suggesting.model import THRESHOLD
        from fightnotes.suggesting.rejected import read_rejections
        from fightnotes.suggesting.suggest import suggest_marks

        least, refused = THRESHOLD if above is None else above, read_rejections(self.root)
        return suggest_marks(self.store, threshold=least, bouts=bouts, only=only, limit=limit, rejected=refused)

    def plan_marks(self, wanted: Iterable[tuple[Segment, str]]) -> Plan:
        """The line edits that give moments tags, by id or label, or fields, as `key:value`; `apply` makes them.

        A tag for which the note's fields would hold wrongly is written with its own. Raises as `plan_taking`.
        """
        from fightnotes.editing.taking import Notes, plan_taking
        from fightnotes.language.note_reader import NoteReader
        from fightnotes.suggesting.own_fields import own_fields

        store = self.store
        reader = NoteReader(store.bouts, store.vocabulary)
        notes = Notes(self.root, store.bouts, store.vocabulary, store.settings)
        return plan_taking(notes, wanted, lambda segment, concept, shared: own_fields(segment, concept, reader, shared))

    def plan_rejection(self, segment: Segment, name: str) -> Plan:
        """The line by which the library remembers that a moment is not to be suggested a concept or field again."""
        from fightnotes.suggesting.rejected import plan_rejection

        return plan_rejection(self.root, segment, name)

    def moment_now(self, segment: Segment) -> tuple[int, int]:
        """First and last line of a note's moment as its file stands now. Raises UnreadableFile where it is gone."""
        from fightnotes.editing.taking import Notes, lines_now

        store = self.store
        return lines_now(Notes(self.root, store.bouts, store.vocabulary, store.settings), segment)
