"""A library counted."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.errors import UsageError
from fightnotes.library.opened import Opened

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.cutting.at_hand import NamedRecording
    from fightnotes.model import Bout
    from fightnotes.search.filters import Filters
    from fightnotes.search.hit import Hit
    from fightnotes.tally.bout_notes import NotedBout, RoundMoments
    from fightnotes.tally.bout_timeline import BoutTimeline
    from fightnotes.tally.chains import Sequences
    from fightnotes.tally.compare import SideBySide, SideName
    from fightnotes.tally.dimensions import DimensionName
    from fightnotes.tally.follow import Who
    from fightnotes.tally.pictures import Shown
    from fightnotes.tally.tally import Tally
    from fightnotes.tally.value_trend import Measure


class Tallying(Opened):
    """`tally`, `compare`, `follow` and `timeline`."""

    def tally(
        self,
        rows: DimensionName,
        columns: DimensionName | None = None,
        filters: Filters | None = None,
        *,
        inferred: bool = False,
        trend: Measure | None = None,
    ) -> Tally:
        """What was done, counted by one dimension or two, such as "concept" and "round". Raises StoreMissing.

        `inferred` counts by fields that nobody wrote, too. `trend` asks how each value goes over the dimension that
        stands in an order: acts a round, acts a minute, or the share of success. Raises UsageError where none does.
        """
        from fightnotes.search.filters import Filters
        from fightnotes.tally.tally import tally

        return tally(self.store, rows, columns, filters or Filters(), inferred=inferred, trend=trend)

    def counted_moments(self, counted: Tally, row: str | None = None, column: str | None = None) -> tuple[Hit, ...]:
        """The moments of a row, a column or a cell of a tally, each once, as `find` gives them.

        Values are those of the tally, or any form of a name or label of them. Raises UnknownName, UsageError.
        """
        from fightnotes.tally.opening import moments_of

        return moments_of(self.store, counted, row, column)

    def compare(
        self,
        *sides: str,
        filters: Filters | None = None,
        before: datetime.date | None = None,
        inferred: bool = False,
    ) -> SideBySide:
        """Two fighters or two bouts, or the days before one and from it on: rates and success of each concept.

        With `before` a fighter may be named, or nobody. Raises UsageError, UnknownName, StoreMissing.
        """
        from fightnotes.search.filters import Filters
        from fightnotes.tally.compare import compare

        return compare(self.store, sides, filters or Filters(), before=before, inferred=inferred)

    def compared_moments(self, compared: SideBySide, concept: str, side: SideName) -> tuple[Hit, ...]:
        """The moments of a concept on one side, each once, as `find` gives them. Raises UnknownName."""
        from fightnotes.tally.opening import compared_moments_of

        return compared_moments_of(self.store, compared, concept, side)

    def follow(
        self,
        *concepts: str,
        filters: Filters | None = None,
        within: float | None = None,
        who: Who = "either",
        to_outcome: str | None = None,
        steps: int = 2,
        notes_apart: bool = False,
        inferred: bool = False,
        limit: int = 20,
    ) -> Sequences:
        """What follows what within so many seconds: the chain of these concepts, what follows the one, or all pairs.

        `who` says by whom: either, the same fighter or the other. `to_outcome` asks for chains that end in it, of so
        many `steps` where no chain is given. What filters ask of an act they ask of the first. With `notes_apart`
        nothing follows in its own note. Raises UsageError, UnknownName, StoreMissing.
        """
        from fightnotes.search.filters import Filters
        from fightnotes.tally.sequences import WITHIN, follow

        return follow(
            self.store,
            concepts,
            filters or Filters(),
            within=WITHIN if within is None else within,
            who=who,
            to_outcome=to_outcome,
            steps=steps,
            notes_apart=notes_apart,
            inferred=inferred,
            limit=limit,
        )

    def timeline(self, bout: str, filters: Filters | None = None, *, inferred: bool = False) -> BoutTimeline:
        """A bout by its id, round by round: each act at its time, with letters for its commonest concepts, or for the
        tags of the filters. Raises UnknownName, UsageError, StoreMissing."""
        from fightnotes.search.filters import Filters
        from fightnotes.tally.bout_timeline import bout_timeline

        return bout_timeline(self.store, bout, filters or Filters(), inferred=inferred)

    def noted_bouts(self) -> tuple[NotedBout, ...]:
        """All bouts with how much of each is noted, the newest first. Raises StoreMissing."""
        from fightnotes.tally.bout_notes import noted_bouts

        return noted_bouts(self.store)

    def round_moments(self, bout: str, filters: Filters | None = None) -> tuple[RoundMoments, ...]:
        """The moments of a bout by its id, round by round; of several tags those that have one of them.

        Raises UnknownName, StoreMissing.
        """
        from fightnotes.search.filters import Filters
        from fightnotes.tally.bout_notes import round_moments

        return round_moments(self.store, bout, filters or Filters())

    def named_recordings(self, bout: Bout) -> tuple[NamedRecording, ...]:
        """The recordings for which a bout names a file, with whether it is at hand."""
        from fightnotes.cutting.at_hand import named_recordings

        return named_recordings(bout, self.root, self.store.settings.media_roots)

    def picture(self, drawn: Tally | Sequences, show: Shown = "acts") -> str:
        """What `tally` or `follow` gave, as an `svg` element of a page that says itself what was looked at; `show` is
        what of a tally."""
        from fightnotes.tally.pictures import picture_on_page

        return picture_on_page(drawn, self.store.vocabulary, show)

    def picture_as(self, drawn: Tally | Sequences | BoutTimeline, ending: str, show: Shown = "acts") -> bytes:
        """What `tally`, `follow` or `timeline` gave, as a file of the kind that its ending names: .svg or .png.

        Raises UsageError for another.
        """
        from fightnotes.pages.drawing import as_file, as_png
        from fightnotes.tally.pictures import picture_of

        writers: dict[str, Callable[[str], bytes]] = {".svg": lambda svg: as_file(svg).encode(), ".png": as_png}
        if ending not in writers:
            raise UsageError(f"a picture is named .svg or .png, and {ending or 'no ending'} is neither")
        return writers[ending](picture_of(drawn, self.store.vocabulary, show))

    def draw(self, drawn: Tally | Sequences | BoutTimeline, path: str | Path, show: Shown = "acts") -> None:
        """A picture of what `tally`, `follow` or `timeline` gave, as `.svg` or `.png`; `show` is what of a tally.

        Raises UsageError for another ending, FightnotesError where it cannot be written.
        """
        path = Path(path)
        self._write_output(path, self.picture_as(drawn, path.suffix.lower(), show))
