from __future__ import annotations

import csv
import io
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.cutting import CAUTIONS, EXPORTS, CutList, assemble, export
from fightnotes.cutting.exports.edl import reel_names
from fightnotes.cutting.timeline import lay_out
from fightnotes.errors import ExportError, UnknownName
from fightnotes.model import Fields, Handles
from tests.cut_samples import a_bout, a_candidate

NONE = Handles(before=Fraction(0), after=Fraction(0))
NO_COMMENTS = {"csv", "captions"}


def three_rates() -> CutList:
    bouts = [
        a_bout("a", recording={"rate": Fraction(25)}),
        a_bout("b", recording={"rate": Fraction(30000, 1001), "drop_frame": True}),
        a_bout("c", recording={"rate": Fraction(60)}),
    ]
    lengths = (3, 4, "0.001")
    picked = [
        a_candidate(bout, 1, 1 + Fraction(long), line=n)
        for n, (bout, long) in enumerate(zip(bouts, lengths, strict=True), 1)
    ]
    return assemble(picked, {}, NONE, "hand")


@pytest.mark.parametrize("name", [known.name for known in EXPORTS])
def test_each_caution_stands_once_where_there_is_room_for_a_comment(name: str) -> None:
    text = export(three_rates(), name, {})
    expected = 0 if name in NO_COMMENTS else 1
    assert [text.replace("\\", "").count(caution) for caution in CAUTIONS] == [expected] * len(CAUTIONS)


@pytest.mark.parametrize("name", [known.name for known in EXPORTS])
def test_an_empty_list_is_an_error(name: str) -> None:
    with pytest.raises(ExportError, match="empty"):
        export(CutList(cuts=()), name, {})


def test_an_unknown_format_names_the_known_ones() -> None:
    with pytest.raises(UnknownName, match=r"floppy.*otio, edl"):
        export(three_rates(), "floppy", {})


def test_the_record_rate_is_the_one_that_fills_most_of_the_reel() -> None:
    timeline = lay_out(three_rates().cuts)
    assert (timeline.rate, timeline.drop_frame) == (Fraction(30000, 1001), True)
    assert [event.frames for event in timeline.events] == [90, 121, 1]
    assert timeline.events[-1].end_frame_exclusive == timeline.frames == 212
    assert timeline.remark is not None
    assert "25, 30000/1001, 60" in timeline.remark


def test_more_events_than_three_digits_tell_apart_are_refused() -> None:
    bout = a_bout()
    picked = [a_candidate(bout, 2 * n, line=n) for n in range(1, 1001)]
    with pytest.raises(ExportError, match="1000 cuts"):
        export(assemble(picked, {}, NONE), "edl", {})


def test_reels_are_told_apart() -> None:
    sources = [
        "media/corvale-brandaal.mp4",
        "old/Corvale Brandaal 2.mov",
        "風堀.mp4",
        "ax.mov",
        "Ljungskär.mp4",
        "渚.mov",
    ]
    assert list(reel_names(sources).values()) == ["CORVALEB", "CORVALE2", "REEL", "AX2", "LJUNGSKA", "REEL2"]


@given(st.lists(st.text(min_size=1, max_size=20), max_size=40))
def test_reel_names_are_always_legal_and_unique(sources: list[str]) -> None:
    names = reel_names(sources)
    assert set(names) == set(sources)
    assert len(set(names.values())) == len(names)
    assert all(
        1 <= len(name) <= 8 and name.isascii() and name.isalnum() and name.upper() == name for name in names.values()
    )


def test_the_csv_holds_what_the_notes_say() -> None:
    bout = a_bout()
    fields = Fields(by=("corvale",), on=("brandaal",), target=("head", "body"), outcome=("landed",))
    picked = [a_candidate(bout, 61, 62, line=12, text='says "now",\nthen jabs', fields=fields, relevance=0.25)]
    (row,) = csv.DictReader(io.StringIO(export(assemble(picked, {}, NONE), "csv", {}), newline=""))
    assert row["text"] == 'says "now", then jabs'
    assert (row["by"], row["on"], row["target"], row["outcome"], row["tags"]) == (
        "corvale", "brandaal", "head body", "landed", "cross",
    )  # fmt: skip
    assert (row["in_seconds"], row["out_seconds"], row["relevance"]) == ("61.000000", "62.000000", "0.25")
    assert row["notes"] == "bouts/corvale-brandaal-2031.md:12"


def test_what_was_left_out_stands_in_the_markdown() -> None:
    bout = a_bout()
    made = assemble([a_candidate(bout, 1), a_candidate(bout, None, line=7, written_time="R4 0:05")], {})
    assert "R4 0:05 has no place on a recording" in export(made, "markdown", {})


def test_plain_timestamps_add_up() -> None:
    bout = a_bout()
    picked = [a_candidate(bout, 10, "12.5", line=1, title="One"), a_candidate(bout, 60, 61, line=2, title="Two")]
    lines = export(assemble(picked, {}, NONE), "timestamps", {}).splitlines()
    assert lines[2:4] == [
        "0:00.000  One  (media/corvale-brandaal-2031.mp4 0:10.000 - 0:12.520)",
        "0:02.520  Two  (media/corvale-brandaal-2031.mp4 1:00.000 - 1:01.000)",
    ]
