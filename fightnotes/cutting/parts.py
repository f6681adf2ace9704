"""A cut list divided into lists whose frames all count alike, for formats that know one way of counting."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from fightnotes.clock import parse_rate
from fightnotes.cutting.cuts import Cut, CutList
from fightnotes.cutting.timeline import lay_out


def parts_by_counting(cut_list: CutList) -> dict[str, CutList]:
    """The cuts of each way of counting frames, by its name, such as `25` or `29.97-drop`, in the order of the whole.

    One list alone is itself; each of several says which cuts of the whole it has. Raises ExportError for no cuts.
    """
    numbers: dict[str, list[int]] = defaultdict(list)
    for number, cut in enumerate(cut_list.cuts, start=1):
        numbers[_counting(cut)].append(number)
    if len(numbers) == 1:
        return dict.fromkeys(numbers, cut_list)
    mixed = lay_out(cut_list.cuts).remark
    notes = tuple(note for note in cut_list.notes if note != mixed)
    return {
        name: cut_list.model_copy(
            update={
                "cuts": tuple(cut_list.cuts[number - 1] for number in mine),
                "notes": (_part_of(name, mine, cut_list, numbers), *notes),
            }
        )
        for name, mine in numbers.items()
    }


def _counting(cut: Cut) -> str:
    """As the trade writes the rate where that tells it, such as 29.97, else as a fraction, such as 2997-125."""
    written = f"{float(cut.rate):.3f}".rstrip("0").rstrip(".")
    exact = f"{cut.rate.numerator}-{cut.rate.denominator}"
    rate = written if written != "0" and parse_rate(written) == cut.rate else exact
    return f"{rate}-drop" if cut.drop_frame else rate


def _part_of(name: str, mine: Sequence[int], cut_list: CutList, parts: Iterable[str]) -> str:
    others = ", ".join(other for other in parts if other != name)
    listed = ", ".join(map(str, mine))
    return f"The part at {name} of a list of {len(cut_list.cuts)} cuts: {listed}. Other parts: {others}."
