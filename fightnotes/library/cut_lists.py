"""The cut lists of a library's own folder, to arrange: `cuts/NAME.yaml`, as `fightnotes cut --from` reads them, too."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from fightnotes.errors import UsageError
from fightnotes.library.opened import Opened

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.cutting import Assembly, ListChange, ListedMoment, ListFile, SavedList, SavedMoment
    from fightnotes.model import Handles

LIST_ORDERS: tuple[Literal["date", "bout", "round", "outcome"], ...] = ("date", "bout", "round", "outcome")
"""In which a list can be brought; what it is then is its order by hand."""


class CutLists(Opened):
    """Reads and changes of lists by name. `shown` is the digest of the file that a change was meant for, None for any.

    Each change raises UnknownName where there is no such list, UsageError for what is no name and no place, and
    UnreadableFile where the file is another by then or cannot be edited in place. Places count from 1.
    """

    def cut_list_names(self) -> tuple[str, ...]:
        """Of all lists."""
        from fightnotes.cutting import list_names

        return list_names(self.root)

    def cut_list_path(self, name: str) -> Path:
        """The file of a list, for `cut` and for commands. Raises UsageError, FightnotesError for a link outside."""
        from fightnotes.cutting import list_file
        from fightnotes.editing.line_edit import inside

        return inside(self.root, list_file(name))

    def cut_list(self, name: str) -> ListFile:
        """A list as its file holds it now. Raises UnknownName, UsageError, UnreadableFile."""
        from fightnotes.cutting import read_list

        return read_list(self.root, name, self.store.settings.handles)

    def assemble_list(self, name: str) -> Assembly:
        """The cut list made of a list, as `fightnotes cut --from` makes it."""
        from fightnotes.cutting import Selection, cut

        return cut(self.store, Selection(saved=self.cut_list_path(name)))

    def listed(self, assembly: Assembly) -> tuple[ListedMoment, ...]:
        """What became of each moment of the list that an assembly was made from."""
        from fightnotes.cutting import listed

        return listed(assembly)

    def create_list(self, name: str, places: Sequence[str] = (), title: str = "") -> ListChange:
        """A new list of the moments at these places, `file:line`. Raises UsageError where the name is taken."""
        from fightnotes.cutting import SavedList, create_list, with_moments, with_settings

        handles = self.store.settings.handles
        empty = SavedList(title=name.replace("-", " "), handles=handles, moments=())
        titled = with_settings(empty, title, handles, inside_round=False)
        return create_list(self.root, name, with_moments(titled, self._at(places)))

    def add_to_list(self, name: str, places: Sequence[str]) -> ListChange:
        """The moments at these places at its end; those that it has already stay where they are."""
        from fightnotes.cutting import with_moments

        moments = self._at(places)
        return self._changed(name, lambda saved: with_moments(saved, moments), None)

    def move_in_list(self, name: str, place: int, to: int, shown: str | None = None) -> ListChange:
        from fightnotes.cutting import moved

        return self._changed(name, lambda saved: moved(saved, place, to), shown)

    def remove_from_list(self, name: str, place: int, shown: str | None = None) -> ListChange:
        from fightnotes.cutting import without

        return self._changed(name, lambda saved: without(saved, place), shown)

    def order_list(self, name: str, order: str, shown: str | None = None) -> ListChange:
        """Its moments in one of `LIST_ORDERS`; those that are lost or cannot be cut come last. Raises UsageError."""
        from fightnotes.cutting import Arrangement, Selection, cut, in_order, places_in_order

        known = next((each for each in LIST_ORDERS if each == order), None)
        if known is None:
            raise UsageError(f"'{order}' is no order: there are {', '.join(LIST_ORDERS)}")
        read = self.cut_list(name).digest if shown is None else shown
        selection = Selection(saved=self.cut_list_path(name))
        places = places_in_order(cut(self.store, selection, Arrangement(order=known)))
        return self._changed(name, lambda saved: in_order(saved, places), read)

    def set_list(
        self, name: str, title: str, handles: Handles, inside_round: bool, shown: str | None = None
    ) -> ListChange:
        """Title, handles and whether each cut stays within its round, of the whole list."""
        from fightnotes.cutting import with_settings

        return self._changed(name, lambda saved: with_settings(saved, title, handles, inside_round), shown)

    def set_card(
        self, name: str, place: int, title: str, handles: Handles | None, shown: str | None = None
    ) -> ListChange:
        """Title and handles of one moment; none for what the list gives by itself."""
        from fightnotes.cutting import with_card

        return self._changed(name, lambda saved: with_card(saved, place, title, handles), shown)

    def take_offered(self, name: str, place: int, shown: str | None = None) -> ListChange:
        """What is offered in place of a moment that is lost. Raises UsageError where nothing is."""
        from fightnotes.cutting import with_other

        read = self.cut_list(name).digest if shown is None else shown
        row = next((row for row in self.listed(self.assemble_list(name)) if row.place == place), None)
        if row is None or row.lost is None or row.lost.instead is None:
            raise UsageError(f"nothing is offered in place of moment {place}")
        (other,) = self._at([row.lost.instead.place])
        return self._changed(name, lambda saved: with_other(saved, place, other), read)

    def remove_list(self, name: str, shown: str | None = None) -> ListChange:
        """Deletes the file of a list; the change that this gives holds what stood in it."""
        from fightnotes.cutting import remove_list

        return remove_list(self.root, name, shown)

    def take_back_list_change(self, change: ListChange, shown: str | None = None) -> ListChange:
        """Gives the change that this is, by which it can be taken back again."""
        from fightnotes.cutting import take_back_change

        return take_back_change(self.root, change, shown)

    def _at(self, places: Sequence[str]) -> tuple[SavedMoment, ...]:
        from fightnotes.cutting import candidate_at, saved_moment

        return tuple(saved_moment(candidate_at(place, self.store)) for place in places)

    def _changed(self, name: str, edit: Callable[[SavedList], SavedList], shown: str | None) -> ListChange:
        from fightnotes.cutting import change_list

        return change_list(self.root, name, edit, self.store.settings.handles, shown)
