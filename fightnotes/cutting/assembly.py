"""The main job: from a library's moments to a cut list."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

from fightnotes.clock import format_media_time
from fightnotes.cutting.assemble import assemble
from fightnotes.cutting.cuts import CAUTIONS, CutList
from fightnotes.cutting.finding import find_media
from fightnotes.cutting.media import Media
from fightnotes.cutting.ordering import Order
from fightnotes.cutting.rows import rows_of
from fightnotes.cutting.selection import Selected, Selection, select
from fightnotes.editing.own_files import may_write, own_files
from fightnotes.errors import ExportError
from fightnotes.index.store import Store
from fightnotes.model import Handles, Record


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
        """Whether all that a person named is in the list, but for what was left out by choice."""
        by_hand = self.selected.by_hand
        unwilled = (left_out for left_out in self.cut_list.left_out if not left_out.by_choice)
        return not self.faults and not any(left_out.candidate in by_hand for left_out in unwilled)

    @property
    def cautions(self) -> tuple[str, ...]:
        return CAUTIONS

    @property
    def summary(self) -> str:
        made = self.cut_list
        return f"{made.title}: {len(made.cuts)} cuts, {format_media_time(made.duration, decimals=2)}"

    def as_json(self) -> dict[str, Any]:
        """Plain values; a row for each cut as `rows_of` gives it."""
        made = self.cut_list
        return {
            "title": made.title,
            "seconds": round(float(made.duration), 6),
            "handles": {"before": float(made.handles.before), "after": float(made.handles.after)},
            "inside_round": made.inside_round,
            "cuts": rows_of(made),
            "left_out": [left_out.as_json() for left_out in made.left_out],
            "lost": [lost.as_json() for lost in self.selected.lost],
            "problems": [str(problem) for problem in self.selected.problems],
            "notes": [*self.unreadable, *made.notes],
            "notices": list(self.selected.notices),
            "cautions": list(CAUTIONS),
        }

    def may_write(self, path: Path) -> None:
        """Raises ExportError for a file that must stay: a note, footage, or a list of which not all was found."""
        may_write(path, self.kept)
        if self.saved and path.resolve() == self.saved.resolve() and not self.complete:
            raise ExportError(f"{path} holds moments that were not found or cannot be cut: save under another name")


def cut(store: Store, selection: Selection, arrangement: Arrangement = Arrangement()) -> Assembly:  # noqa: B008
    """The cut list of the moments selected.

    Raises what `select` does. That footage is not at hand is no error: a list needs none.
    """
    selected = select(store, selection)
    saved, settings, root = selected.saved, store.settings, store.layout.root
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
        title=arrangement.title or (saved.title if saved else selection.query.strip()) or "Cut list",
    )
    return Assembly(
        cut_list=cut_list,
        media=media,
        unreadable=unreadable,
        selected=selected,
        saved=selection.saved,
        kept=own_files(root, store.bouts.values(), settings),
    )
