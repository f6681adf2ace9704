from __future__ import annotations

import datetime
import itertools
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fightnotes.clock import Alignment
from fightnotes.cutting import Candidate, CutList, Media, assemble
from fightnotes.cutting.ordering import ORDERS
from fightnotes.cutting.placing import round_bounds
from fightnotes.model import FOOTAGE, Bout, Fields, Handles, Recording
from tests.cut_samples import a_bout, a_candidate, a_segment, with_bell

TWO = Handles(before=Fraction(2), after=Fraction(2))
NONE = Handles(before=Fraction(0), after=Fraction(0))


def of_length(bout: Bout, seconds: Fraction, rate: Fraction | None = Fraction(25)) -> dict[str, Media]:
    """Footage at hand, without a file: only its length and rate matter here."""
    assert bout.footage is not None
    assert bout.footage.file is not None
    known = Media(
        path=Path(bout.footage.file), indexed=True, container_start=Fraction(0), first_stamp=Fraction(0),
        length=seconds, width=192, height=108, pixel_aspect=Fraction(1), rate=rate, video_codec="h264",
        audio_codec="aac",
    )  # fmt: skip
    return {bout.footage.file: known}


def spans(cut_list: CutList) -> list[tuple[int, int]]:
    return [(cut.start_frame, cut.end_frame_exclusive) for cut in cut_list.cuts]


def test_handles_are_the_lists_unless_a_moment_has_its_own() -> None:
    bout = a_bout()
    own = Handles(before=Fraction(1), after=Fraction(0))
    picked = [a_candidate(bout, 10, 11, line=1), a_candidate(bout, 60, 61, line=2, handles=own)]
    assert spans(assemble(picked, {}, TWO)) == [(200, 325), (1475, 1525)]


def test_a_cut_shows_every_frame_that_shows_in_its_span() -> None:
    bout = a_bout(recording={"rate": Fraction(30000, 1001)})
    # frame 29 begins at 0.9676 s, frame 30 at 1.001 s, frame 60 at 2.002 s
    assert spans(assemble([a_candidate(bout, 1, 2)], {}, NONE)) == [(29, 60)]


def test_a_moment_without_length_still_shows_a_frame() -> None:
    assert spans(assemble([a_candidate(a_bout(), 1, 1)], {}, NONE)) == [(25, 26)]


def test_cuts_stay_on_the_footage() -> None:
    bout = a_bout()
    picked = [a_candidate(bout, 1, 2, line=1), a_candidate(bout, 58, 59, line=2), a_candidate(bout, 70, 71, line=3)]
    made = assemble(picked, of_length(bout, Fraction(60)), TWO)
    assert spans(made) == [(0, 100), (1400, 1500)]
    (left,) = made.left_out
    assert (left.why, left.candidate.segment.line) == ("outside the footage", 3)
    assert "1:10" in str(left)
    assert "1:00" in str(left)


def test_cuts_stay_in_the_round_where_that_is_wanted() -> None:
    bout = with_bell(a_bout(), Fraction(100))
    inside = {"round": 1, "period": "round"}
    picked = [a_candidate(bout, 101, 102, line=1, **inside), a_candidate(bout, 278, 279, line=2, **inside)]
    picked.append(a_candidate(bout, 290, 291, line=3, round=1, period="rest"))
    assert round_bounds(bout, 1) == (100, 280)
    assert spans(assemble(picked, {}, TWO, inside_round=True)) == [(2500, 2600), (6900, 7000), (7200, 7325)]
    assert spans(assemble(picked, {}, TWO))[0] == (2475, 2600)


def test_overlapping_and_touching_cuts_of_a_source_are_one() -> None:
    bout, other = a_bout(), a_bout("other", date=datetime.date(2032, 1, 1))
    picked = [
        a_candidate(bout, 20, 21, line=3, title="Third"),
        a_candidate(bout, 10, 12, line=1, title="First"),
        a_candidate(bout, 12, 13, line=2, title="Second"),
        a_candidate(bout, "12.5", "12.6", line=4, title="First"),
        a_candidate(other, 11, 12, line=1),
    ]
    made = assemble(picked, {}, NONE)
    assert spans(made) == [(250, 325), (500, 525), (275, 300)]
    assert made.cuts[0].title == "First / Second"
    assert [moment.candidate.segment.line for moment in made.cuts[0].moments] == [1, 2, 4]


def test_a_note_picked_twice_counts_once() -> None:
    one = a_candidate(a_bout(), 10, 11)
    retitled = a_candidate(a_bout(), 10, 11, title="Again", handles=Handles(before=0, after=9))
    made = assemble([one, one, retitled], {})
    assert [len(cut.moments) for cut in made.cuts] == [1]
    assert [str(left).partition(": ")[2] for left in made.left_out] == [
        "picked twice: it is cut once",
        "picked twice: it is cut once, without the title and handles of the second entry",
    ]
    assert not any(left.missed for left in made.left_out)


def test_what_has_no_time_is_named() -> None:
    bout = a_bout()
    made = assemble([a_candidate(bout, None, line=7, written_time="R4 0:05"), a_candidate(bout, 1)], {})
    assert len(made.cuts) == 1
    assert [str(left) for left in made.left_out] == [f"{bout.file}:7: untimed: R4 0:05 has no place on a recording"]


def test_a_moment_of_another_recording_is_cut_from_the_footage_where_they_are_aligned() -> None:
    talk = Recording(file="talk.mp4", rate=Fraction(50), align=Alignment(((Fraction(0), Fraction(100)),)))
    bout = a_bout()
    bout = bout.model_copy(update={"recordings": {**bout.recordings, "breakdown": talk}})
    placed = {"timed_on": "breakdown", "footage_start": Fraction(104), "footage_end": None}
    picked = [a_candidate(bout, 4, 6, line=1, **placed), a_candidate(bout, 8, 9, line=2, timed_on="breakdown")]
    made = assemble(picked, {}, NONE, "hand")
    assert [(cut.recording, cut.rate) for cut in made.cuts] == [(FOOTAGE, 25), ("breakdown", 50)]
    assert spans(made) == [(2600, 2650), (400, 450)]
    assert any("breakdown" in note and "cut from this recording" in note for note in made.notes)


def test_an_unknown_rate_is_the_files_else_assumed_and_said() -> None:
    bout = a_bout(recording={"rate": None})
    made = assemble([a_candidate(bout, 1, 2)], of_length(bout, Fraction(60), Fraction(50)), NONE)
    assert spans(made) == [(50, 100)]
    assert any("taken from the file" in note for note in made.notes)
    made = assemble([a_candidate(bout, 1, 2)], {}, NONE)
    assert spans(made) == [(25, 50)]
    assert any("assumed" in note for note in made.notes)


def test_a_rate_that_the_file_contradicts_is_said() -> None:
    bout = a_bout()
    made = assemble([a_candidate(bout, 1, 2)], of_length(bout, Fraction(60), Fraction(50)), NONE)
    assert any("the notes say 25 frames a second, the file 50" in note for note in made.notes)


def test_source_timecode_counts_from_the_first_frame_of_the_media() -> None:
    bout = a_bout(recording={"rate": Fraction(30000, 1001), "drop_frame": True, "first_frame": 1798})
    (cut,) = assemble([a_candidate(bout, 0, 1)], {}, NONE).cuts
    # SMPTE ST 12-1: frames 1798 and 1799 are 00:00:59;28 and ;29, frame 1800 is 00:01:00;02
    assert cut.timecode(cut.start_frame) == "00:00:59;28"
    assert cut.timecode(cut.end_frame_exclusive) == "00:01:01;00"


def test_orders() -> None:
    late = a_bout("a", title="Zeta", date=datetime.date(2031, 5, 1))
    early = a_bout("b", title="Älpha", date=datetime.date(2030, 5, 1))
    undated = a_bout("c", title="Mid", date=None)

    def one(bout: Bout, start: int, number: int | None, relevance: float | None, outcome: tuple[str, ...]) -> Candidate:
        segment = a_segment(bout, start, line=start, round=number, fields=Fields(outcome=outcome), tags=())
        return Candidate(segment=segment, bout=bout, relevance=relevance)

    picked = [
        one(undated, 1, 2, 0.5, ()),
        one(late, 50, None, None, ("missed",)),
        one(late, 20, 1, 0.9, ("landed",)),
        one(early, 30, 3, -0.1, ("own-word",)),
    ]
    expected = {
        "date": [30, 20, 50, 1],
        "bout": [30, 1, 20, 50],
        "round": [20, 1, 30, 50],
        "relevance": [20, 1, 30, 50],
        "outcome": [20, 50, 30, 1],
        "hand": [1, 50, 20, 30],
    }
    assert set(expected) == set(ORDERS)
    for order in ORDERS:
        made = assemble(picked, {}, NONE, order)
        assert [cut.moments[0].candidate.segment.line for cut in made.cuts] == expected[order], order


rates = st.sampled_from([Fraction(24), Fraction(25), Fraction(30000, 1001), Fraction(60)])
moments = st.lists(
    st.tuples(
        st.integers(0, 2),
        st.fractions(0, 120, max_denominator=1000),
        st.fractions(0, 15, max_denominator=100),
        st.none() | st.floats(-1, 1),
    ),
    max_size=25,
)
handles = st.builds(
    Handles, before=st.fractions(0, 5, max_denominator=10), after=st.fractions(0, 5, max_denominator=10)
)


@settings(max_examples=150, deadline=None)
@given(moments, handles, rates, st.sampled_from(ORDERS), st.none() | st.fractions(1, 200, max_denominator=10))
def test_any_cut_list_keeps_its_promises(
    picked: list[tuple[int, Fraction, Fraction, float | None]],
    around: Handles,
    rate: Fraction,
    order: str,
    target: Fraction | None,
) -> None:
    bouts = [a_bout(f"bout-{n}", recording={"file": f"{n}.mp4", "rate": rate}) for n in range(3)]
    media = {key: found for bout in bouts for key, found in of_length(bout, Fraction(100), rate).items()}
    candidates = [
        a_candidate(bouts[which], start, start + long, line, relevance=relevance)
        for line, (which, start, long, relevance) in enumerate(picked, start=1)
    ]
    made = assemble(candidates, media, around, order, target=target)  # type: ignore[arg-type]

    # Nothing is lost: each moment is in exactly one cut, or named as left out.
    lines = [m.candidate.segment.line for cut in made.cuts for m in cut.moments]
    lines += [left.candidate.segment.line for left in made.left_out]
    assert sorted(lines) == list(range(1, len(picked) + 1))
    for cut in made.cuts:
        assert 0 <= cut.start_frame < cut.end_frame_exclusive <= 100 * rate + Fraction(1, 2)
        for moment in cut.moments:
            assert cut.start <= moment.start
            assert min(moment.end, Fraction(100) - 1 / rate) <= cut.end_exclusive
    # Cuts of one source are apart by a frame at least.
    for bout in bouts:
        own = sorted(span for cut, span in zip(made.cuts, spans(made), strict=True) if cut.bout.id == bout.id)
        assert all(earlier[1] < later[0] for earlier, later in itertools.pairwise(own))
    if target is not None:
        assert made.duration <= target
    # Order by hand is that of the first picked moment in each cut; by date, time within a bout.
    firsts = [min(m.candidate.segment.line for m in cut.moments) for cut in made.cuts]
    if order == "hand":
        assert firsts == sorted(firsts)
    if order == "date":
        keys = [(cut.bout.id, cut.start_frame) for cut in made.cuts]
        assert keys == sorted(keys)


def test_merged_cuts_do_not_change_when_assembled_again() -> None:
    bout = a_bout()
    picked = [a_candidate(bout, start, start + 3, line=start) for start in (10, 12, 30, 50, 52)]
    made = assemble(picked, {}, TWO)
    again = assemble([m.candidate for cut in made.cuts for m in cut.moments], {}, TWO)
    assert again == made


@pytest.mark.parametrize("frames", [(5, 5), (-1, 4), (6, 3)])
def test_no_cut_is_empty_or_before_the_footage(frames: tuple[int, int]) -> None:
    (cut,) = assemble([a_candidate(a_bout(), 1)], {}).cuts
    with pytest.raises(ValueError, match="frames"):
        type(cut)(**(dict(cut) | {"start_frame": frames[0], "end_frame_exclusive": frames[1]}))
