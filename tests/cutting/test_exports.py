from __future__ import annotations

import csv
import io
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.clock import Timecode
from fightnotes.cutting import CAUTIONS, EXPORTS, CutList, assemble, export, export_files
from fightnotes.cutting.markers import markers_of
from fightnotes.cutting.sources import reel_names
from fightnotes.cutting.timeline import lay_out
from fightnotes.errors import ExportError, UnknownName
from fightnotes.model import Fields, Handles
from tests.cut_samples import a_bout, a_candidate

NONE = Handles(before=Fraction(0), after=Fraction(0))
NO_COMMENTS = {"csv", "captions", "timestamps"}


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
    expected = 0 if name in NO_COMMENTS else 1
    for text in export_files(three_rates(), name, {}, Path("reel")).values():
        assert [text.replace("\\", "").count(caution) for caution in CAUTIONS] == [expected] * len(CAUTIONS)


def test_an_edl_is_written_for_each_way_of_counting_and_says_what_it_holds() -> None:
    made = three_rates()
    files = export_files(made, "edl", {}, Path("reels/steps.edl"))
    names = ["steps-25.edl", "steps-29.97-drop.edl", "steps-60.edl"]
    assert [path.as_posix() for path in files] == [f"reels/{name}" for name in names]
    assert "The part at 29.97-drop of a list of 3 cuts: 2. Other parts: 25, 60." in files[Path("reels", names[1])]
    assert not any("Record times count at" in text for text in files.values())
    with pytest.raises(ExportError, match=r"3 ways \(25, 29\.97-drop, 60\), and edl in one: --out writes a file each"):
        export(made, "edl", {})
    assert list(export_files(made, "otio", {}, Path("steps.otio"))) == [Path("steps.otio")]
    one = made.model_copy(update={"cuts": made.cuts[:1]})
    assert export_files(one, "edl", {}, Path("steps.edl")) == {Path("steps.edl"): export(one, "edl", {})}


def test_rates_that_are_written_alike_are_not_mixed() -> None:
    rates = (Fraction(24000, 1001), Fraction(2997, 125), Fraction(24), Fraction(1, 5000))
    bouts = [a_bout(f"b{number}", recording={"rate": rate}) for number, rate in enumerate(rates)]
    made = assemble([a_candidate(bout, 1) for bout in bouts], {}, NONE, "hand")
    assert [path.name for path in export_files(made, "edl", {}, Path("a.edl"))] == [
        "a-23.976.edl", "a-2997-125.edl", "a-24.edl", "a-1-5000.edl",
    ]  # fmt: skip


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
        "--.mov",
    ]
    assert list(reel_names(sources).values()) == ["CORVALEB", "CORVALE2", "FENGKU", "AX2", "LJUNGSKA", "REEL"]
    assert [cut.reel for cut in three_rates().cuts] == ["A", "B", "C"]


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


def test_the_csv_tells_handles_and_the_moment_without_them() -> None:
    """At 25 a second, in timecode from an hour on: 2 s of handle before, of which the file has 1, and 3 after."""
    bout = a_bout(recording={"first_frame": 90_000})
    made = assemble(
        [a_candidate(bout, 1, "2.5")], {}, Handles(before=2, after=3), reel_start=Timecode(1, 0, 0, 0, drop=True)
    )
    (row,) = csv.DictReader(io.StringIO(export(made, "csv", {}), newline=""))
    expected = {
        "reel": "CORVALEB", "channels": "AA/V", "path": "", "media": "media/corvale-brandaal-2031.mp4",
        "in_timecode": "01:00:00:00", "out_timecode_exclusive": "01:00:05:13", "frames": "138", "seconds": "5.520000",
        "handle_before": "25", "handle_after": "75",
        "moment_in_timecode": "01:00:01:00", "moment_out_timecode_exclusive": "01:00:02:13",
        "moment_in_seconds": "1.000000", "moment_out_seconds": "2.520000",
        "record_in": "01:00:00:00", "record_out_exclusive": "01:00:05:13",
        "record_in_frame": "90000", "record_out_frame_exclusive": "90138",
    }  # fmt: skip
    assert {key: row[key] for key in expected} == expected


def test_a_reel_cannot_start_at_a_label_that_its_rate_has_not() -> None:
    picked = [a_candidate(a_bout(recording={"rate": Fraction(30000, 1001), "drop_frame": True}), 1)]
    assert assemble(picked, {}, reel_start=Timecode(0, 10, 0, 0, drop=False)).cuts
    for start in (Timecode(0, 1, 0, 0, drop=False), Timecode(1, 0, 0, 30, drop=True)):
        with pytest.raises(ExportError, match="the reel cannot start at"):
            assemble(picked, {}, reel_start=start)


def test_titles_name_what_is_done_and_the_bout_where_there_are_several() -> None:
    one, two = a_bout("one"), a_bout("two", title="Brandaal v Corvale II")
    clock = {"round": 3, "clock_start": Fraction(80)}
    baited = a_candidate(one, 10, 11, techniques=("open guard bait", "cross"), **clock)
    untagged = a_candidate(one, 40, 41, line=11)
    given = a_candidate(one, 70, 71, line=12, title="She\nhalf-goes")
    assert [cut.title for cut in assemble([baited, untagged, given], {}).cuts] == [
        "open guard bait, cross, R3 1:20", "Corvale v Brandaal, 0:40", "She half-goes",
    ]  # fmt: skip
    elsewhere = a_candidate(two, 10, 11, techniques=("cross",), **clock)
    assert [cut.title for cut in assemble([baited, elsewhere], {}, NONE, "hand").cuts] == [
        "open guard bait, cross, Corvale v Brandaal, R3 1:20", "cross, Brandaal v Corvale II, R3 1:20",
    ]  # fmt: skip
    joined = a_candidate(one, "11.5", 12, line=13, techniques=("slip",), round=3, clock_start=Fraction(79))
    assert [cut.title for cut in assemble([baited, joined], {}).cuts] == [
        "open guard bait, cross, R3 1:20 / slip, R3 1:19"
    ]


@pytest.mark.parametrize(
    ("by", "colour"),
    [(("corvale",), "RED"), (("brandaal",), "BLUE"), (("brandaal", "corvale"), "PURPLE"), ((), "WHITE")],
)
def test_a_marker_has_the_colour_of_the_corner_that_acts(by: tuple[str, ...], colour: str) -> None:
    (cut,) = assemble([a_candidate(a_bout(), 10, 11, fields=Fields(by=by))], {}).cuts
    assert [marker.colour for marker in markers_of(cut)] == [colour]


def test_what_was_left_out_stands_in_the_markdown() -> None:
    bout = a_bout()
    made = assemble([a_candidate(bout, 1), a_candidate(bout, None, line=7, written_time="R4 0:05")], {})
    assert "R4 0:05 has no place on a recording" in export(made, "markdown", {})


def test_plain_timestamps_add_up() -> None:
    bout = a_bout()
    picked = [a_candidate(bout, 10, "12.5", line=1, title="One"), a_candidate(bout, 60, 61, line=2, title="Two")]
    lines = export(assemble(picked, {}, NONE), "timestamps", {}).splitlines()
    assert lines == ["0:00 One", "0:02 Two"]
