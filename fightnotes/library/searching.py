"""A library asked."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.library.opened import Opened

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.model import Moment
    from fightnotes.search.choices import Choices
    from fightnotes.search.filters import Filters
    from fightnotes.search.find import Found


class Searching(Opened):
    """`find`."""

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

    def place_to_play(self, moment: Moment) -> tuple[Path, Fraction]:
        """The recording of a moment at hand, and the second where it begins there. Raises OpeningError."""
        from fightnotes.cutting.playing import place_to_play

        return place_to_play(moment, self.root, self.store.settings.media_roots)
