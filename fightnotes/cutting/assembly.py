"""The main job: from a library's moments to a cut list."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

from fightnotes.clock import ClockError, Timecode, format_media_time, parse_timecode
from fightnotes.cutting.assemble import assemble
from fightnotes.cutting.cuts import CutList
from fightnotes.cutting.finding import find_media
from fightnotes.cutting.media import Media
from fightnotes.cutting.ordering import Order
from fightnotes.cutting.rows import rows_of
from fightnotes.cutting.saved import as_saved, is_saved, to_save, write_saved
from fightnotes.cutting.selection import Selected, Selection, select
from fightnotes.editing.own_files import may_write, own_files
from fightnotes.errors import ExportError, UsageError
from fightnotes.index.store import Store
from fightnotes.model import Handles, Record
from fightnotes.model.cautions import CAUTIONS


class Arrangement(Record):
    """How the moments are cut and in which order they play."""

    before: Fraction | None = None
    after: Fraction | None = None
    """Handles in seconds; None for those of the saved list, else of the library."""
    inside_round: bool = False
    """Keep each cut within its round; a saved list may ask for it too."""
    order: Order | None = None
    """None for the order by hand where a person named the moments, else by date."""
    target: Fraction | None = None
    """Seconds that the best moments are chosen to fit into."""
    at_hand: bool = False
    """Take only moments whose footage is there."""
    reel_start: str | None = None
    """Timecode of the reel's first frame; None for that of the saved list, else 0."""
    title: str | None = None
    """Of the list; None for that of the saved list, else the query."""


class Assembly(Record):
    """A cut list with all that was learnt while it was made."""

    cut_list: CutList
    media: dict[str, Media]
    """Footage at hand, by file as written in the front matter."""
    unreadable: tuple[str, ...]
    """What is wrong with footage that is there, a sentence each."""
    selected: Selected
    saved: Path | None
    """The file of the list that it was made from."""
    kept: frozenset[Path]
    """The library's own files and the footage: nothing is written over them."""

    @property
    def faults(self) -> tuple[str, ...]:
        """What was asked for by name and could not be had, a sentence each."""
        return (*map(str, self.selected.problems), *map(str, self.selected.lost), *self.unreadable)

    @property
    def complete(self) -> bool:
        """Whether there are cuts, and all that a person named is in them, but for what was left out by choice."""
        by_hand, made = self.selected.by_hand, self.cut_list
        missed = (left_out.candidate for left_out in made.left_out if left_out.missed)
        return bool(made.cuts) and not self.faults and not any(candidate in by_hand for candidate in missed)

    @property
    def cautions(self) -> tuple[str, ...]:
        return CAUTIONS

    @property
    def length(self) -> str:
        """Of the reel, to a hundredth of a second."""
        return format_media_time(self.cut_list.duration, decimals=2)

    @property
    def summary(self) -> str:
        made = self.cut_list
        return f"{made.title}: {len(made.cuts)} cuts, {self.length}"

    def as_json(self) -> dict[str, Any]:
        """Plain values; a row for each cut as `rows_of` gives it."""
        made = self.cut_list
        return {
            "title": made.title,
            "seconds": round(float(made.duration), 6),
            "handles": {"before": float(made.handles.before), "after": float(made.handles.after)},
            "inside_round": made.inside_round,
            "cuts": rows_of(made, self.media),
            "left_out": [left_out.as_json() for left_out in made.left_out],
            "lost": [lost.as_json() for lost in self.selected.lost],
            "problems": [str(problem) for problem in self.selected.problems],
            "notes": [*self.unreadable, *made.notes],
            "notices": list(self.selected.notices),
            "cautions": list(CAUTIONS),
        }

    def may_write(self, path: Path) -> None:
        """Raises ExportError for a file that must stay: a note, footage, or a saved cut list."""
        may_write(path, self.kept)
        if self._is_own_list(path) or is_saved(path):
            raise ExportError(f"{path} is a saved cut list: give another name")

    def save(self, path: Path, force: bool = False) -> None:
        """The cut list as YAML; over one that was edited by hand with `force` alone.

        Raises ExportError for a list without cuts, and where a file must stay: a note, footage, the list that this
        one was made from where not all of it was found, one edited by hand.
        """
        if not self.cut_list.cuts:
            raise ExportError("the cut list is empty: there is nothing to save")
        may_write(path, self.kept)
        if self._is_own_list(path) and not self.complete:
            raise ExportError(f"{path} holds moments that were not found or cannot be cut: save under another name")
        if not force and path.exists() and not as_saved(path):
            raise ExportError(f"{path} was edited since it was saved, or is no saved cut list: --force writes over it")
        write_saved(to_save(self.cut_list), path)

    def _is_own_list(self, path: Path) -> bool:
        return self.saved is not None and path.resolve() == self.saved.resolve()


def cut(store: Store, selection: Selection, arrangement: Arrangement = Arrangement()) -> Assembly:  # noqa: B008
    """The cut list of the moments selected.

    Raises what `select` does, UsageError for a reel's start that is no timecode, and ExportError for one that the
    reel's rate has not. That footage is not at hand is no error: a list needs none.
    """
    started = None if arrangement.reel_start is None else _timecode(arrangement.reel_start)
    selected = select(store, selection)
    saved, settings, root = selected.saved, store.settings, store.root
    default = saved.handles if saved else settings.handles
    media, unreadable = find_media(
        {one.bout.id: one.bout for one in selected.candidates}.values(), root, settings.media_roots
    )
    cut_list = assemble(
        selected.candidates,
        media,
        handles=Handles(
            before=default.before if arrangement.before is None else arrangement.before,
            after=default.after if arrangement.after is None else arrangement.after,
        ),
        order=arrangement.order or ("hand" if selected.by_hand else "date"),
        inside_round=arrangement.inside_round or (saved is not None and saved.inside_round),
        target=arrangement.target,
        at_hand=arrangement.at_hand,
        outcomes=settings.outcomes,
        title=arrangement.title or (saved.title if saved else selection.query),
        reel_start=started or (saved.reel_start if saved else None),
    )
    return Assembly(
        cut_list=cut_list,
        media=media,
        unreadable=unreadable,
        selected=selected,
        saved=selection.saved,
        kept=own_files(root, store.bouts.values(), settings),
    )


def _timecode(text: str) -> Timecode:
    try:
        return parse_timecode(text)
    except ClockError as error:
        raise UsageError(f"the reel's start: found {error.found}, expected {error.expected}") from error
