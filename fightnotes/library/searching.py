"""A library asked."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.library.opened import Opened

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.cutting.playing import Playable
    from fightnotes.model import Moment
    from fightnotes.search.around import Around
    from fightnotes.search.choices import Choices
    from fightnotes.search.filters import Filters
    from fightnotes.search.find import Found


class Searching(Opened):
    """`find`, and what a moment has about it."""

    def find(
        self,
        query: str = "",
        filters: Filters | None = None,
        *,
        like: Sequence[str] = (),
        unlike: Sequence[str] = (),
        limit: int = 20,
        spread: bool = False,
    ) -> Found:
        """The moments that answer a query, best first. Raises StoreMissing before the first build.

        `like` and `unlike` are places of notes, `file:line`, that the moments are to be like, or not.
        """
        from fightnotes.search.filters import Filters
        from fightnotes.search.find import find

        chosen = filters or Filters()
        return find(self.store, query, chosen, like=like, unlike=unlike, limit=limit, spread=spread)

    def choices(self) -> Choices:
        """What the filters of `find` can be given, such as the fighters and the tags. Raises StoreMissing."""
        from fightnotes.search.choices import choices

        return choices(self.store)

    def moment_at(self, place: str) -> Moment:
        """The moment at a place, `file:line`; of nested ones, the innermost. Raises UsageError, UnknownName."""
        from fightnotes.search.places import segment_at

        return self.store.moment(segment_at(place, self.store)[1])

    def around(self, moment: Moment) -> Around:
        """The notes before and after a moment in its bout, and what was said at that time."""
        from fightnotes.search.around import around

        return around(moment, self.store)

    def recording_file(self, bout: str, recording: str) -> Path:
        """The file of a bout's recording, by the bout's id and the recording's name, such as "footage".

        Raises UnknownName, OpeningError where it is not at hand, UnreadableFile where it must not be opened.
        """
        from fightnotes.cutting.playing import file_of
        from fightnotes.model import unknown_name

        if bout not in self.store.bouts:
            raise unknown_name("bout", bout, self.store.bouts)
        return file_of(self.store.bouts[bout], recording, self.root, self.store.settings.media_roots)

    def ways_to_play(self, moment: Moment) -> tuple[Playable, ...]:
        """The recordings on which a moment has a time, its own first, and whether they are at hand."""
        from fightnotes.cutting.playing import ways_to_play

        return ways_to_play(moment, self.root, self.store.settings.media_roots)

    def place_to_play(self, moment: Moment) -> tuple[Path, Fraction]:
        """The recording of a moment at hand, and the second where it begins there. Raises OpeningError."""
        from fightnotes.cutting.playing import place_to_play

        return place_to_play(moment, self.root, self.store.settings.media_roots)
