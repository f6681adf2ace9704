"""A saved list moment by moment, as a person arranges it: what became of each in the cut list made of it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fightnotes.clock import format_range
from fightnotes.cutting.assembly import Assembly
from fightnotes.cutting.cuts import Candidate, Cut, CutMoment, LeftOut
from fightnotes.cutting.refind import Lost
from fightnotes.cutting.saved import SavedMoment
from fightnotes.model import FOOTAGE


@dataclass(frozen=True)
class ListedMoment:
    """One of the three is there: a cut, why there is none, or that the moment is lost."""

    place: int
    """From 1, in the list as it is saved."""
    saved: SavedMoment
    candidate: Candidate | None
    """None where the moment is lost."""
    number: int | None
    """Of its cut, from 1."""
    cut: Cut | None
    shown: CutMoment | None
    """The moment as its cut shows it."""
    joined: tuple[int, ...]
    """Places of the other moments of its cut."""
    left_out: LeftOut | None
    lost: Lost | None

    @property
    def title(self) -> str:
        if self.cut and self.shown:
            return self.cut.title_of(self.shown)
        return self.saved.called

    @property
    def elsewhere(self) -> str | None:
        """The recording that it is cut from, where that is not the footage."""
        return None if self.cut is None or self.cut.recording == FOOTAGE else self.cut.recording

    @property
    def media_time(self) -> str | None:
        """In and out of its cut on the recording, to a hundredth."""
        if self.cut is None:
            return None
        begin, end = (Fraction(round(each * 100), 100) for each in (self.cut.start, self.cut.end_exclusive))
        return format_range(begin, end)

    @property
    def timecode(self) -> str | None:
        """The same in the media's own timecode, the out point exclusive."""
        if self.cut is None:
            return None
        return f"{self.cut.timecode(self.cut.start_frame)} - {self.cut.timecode(self.cut.end_frame_exclusive)}"


def listed(assembly: Assembly) -> tuple[ListedMoment, ...]:
    """The moments of the saved list that an assembly was made from, in its order."""
    assert assembly.selected.saved is not None
    lost = {id(one.moment): one for one in assembly.selected.lost}
    left_out = {id(one.candidate): one for one in assembly.cut_list.left_out}
    cuts = {
        id(moment.candidate): (number, cut, moment)
        for number, cut in enumerate(assembly.cut_list.cuts, start=1)
        for moment in cut.moments
    }
    found = iter(assembly.selected.candidates)
    rows = [
        (place, moment, None if id(moment) in lost else next(found))
        for place, moment in enumerate(assembly.selected.saved.moments, start=1)
    ]
    numbers = {place: cuts[id(one)][0] for place, _, one in rows if id(one) in cuts}
    made = []
    for place, moment, candidate in rows:
        number, cut, shown = cuts.get(id(candidate), (None, None, None))
        row = ListedMoment(
            place=place,
            saved=moment,
            candidate=candidate,
            number=number,
            cut=cut,
            shown=shown,
            joined=tuple(other for other, one in numbers.items() if other != place and one == number),
            left_out=left_out.get(id(candidate)),
            lost=lost.get(id(moment)),
        )
        made.append(row)
    return tuple(made)


def places_in_order(assembly: Assembly) -> tuple[int, ...]:
    """The places of the saved list in the order in which the assembly's cuts play; those without a cut come last."""
    rows = listed(assembly)
    starts = {row.place: (row.number, row.shown.start, row.shown.end) for row in rows if row.number and row.shown}
    without = [row.place for row in rows if row.place not in starts]
    return *sorted(starts, key=lambda place: (starts[place], place)), *without
