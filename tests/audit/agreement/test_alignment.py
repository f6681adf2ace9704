from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fightnotes.audit.agreement.alignment import TOLERANCE, Aligned, align, extents_of, moments_of
from fightnotes.model import FOOTAGE, Segment

Note = Callable[..., Segment]


def lines(aligned: Aligned) -> list[tuple[int, int]]:
    return [(pair.first.line, pair.second.line) for pair in aligned.pairs]


def test_the_nearest_are_matched_and_the_rest_listed(note: Note) -> None:
    first = [note("mk", 10), note("mk", 14), note("mk", 50)]
    second = [note("jr", 13), note("jr", 80)]
    aligned = align(first, second)
    assert lines(aligned) == [(2, 4)]
    assert [segment.line for segment in aligned.first_alone] == [1, 3]
    assert [segment.line for segment in aligned.second_alone] == [5]


def test_one_segment_is_matched_once_and_the_sum_of_nearness_decides(note: Note) -> None:
    # Taking the nearest first, 12 with 12, would leave 10 and 14.5 apart.
    aligned = align([note("mk", 10), note("mk", 12)], [note("jr", 11), note("jr", 13)])
    assert lines(aligned) == [(1, 3), (2, 4)]


def test_tolerance_is_a_bound_that_is_itself_allowed(note: Note) -> None:
    first, near, far = note("mk", 10), note("jr", 13), note("jr", Fraction(1301, 100))
    assert len(align([first], [near]).pairs) == len(align([near], [first]).pairs) == 1
    assert align([first], [far]).pairs == align([far], [first]).pairs == ()


def test_an_end_that_nobody_wrote_is_no_overlap(note: Note) -> None:
    first, second = note("mk", 10), note("jr", 18)
    assert not align([first], [second]).pairs
    written = first.model_copy(update={"end_given": True})
    assert len(align([written], [second]).pairs) == 1


def test_among_starts_as_near_the_greater_overlap_wins(note: Note) -> None:
    short = note("jr", 12, end=Fraction(13), end_given=True)
    alike = note("jr", 12, end=Fraction(20), end_given=True)
    aligned = align([note("mk", 10, end=Fraction(20), end_given=True)], [short, alike])
    assert lines(aligned) == [(3, 2)]


def test_other_recordings_are_compared_on_the_footage(note: Note) -> None:
    spoken = note("jr", 400, timed_on="breakdown", footage_start=Fraction(11), footage_end=Fraction(20))
    assert extents_of(spoken) == {FOOTAGE: (11, 11), "breakdown": (400, 400)}
    assert len(align([note("mk", 10)], [spoken]).pairs) == 1
    assert not align([note("mk", 400)], [spoken]).pairs


def test_without_media_time_the_clock_of_the_same_round_is_compared(note: Note) -> None:
    first = note("mk", None, round=4, clock_start=Fraction(41), clock_end=Fraction(36), end_given=True)
    same = note("jr", None, round=4, clock_start=Fraction(34))
    other_round = note("jr", None, round=5, clock_start=Fraction(40))
    assert extents_of(first) == {4: (36, 41)}
    assert lines(align([first], [other_round, same])) == [(1, 2)]


def test_moments_hold_one_segment_an_analyst(note: Note) -> None:
    mk, jr, ao, ao_later = note("mk", 10), note("jr", 11), note("ao", 12), note("ao", 13.5)
    pairs = [pair for first, second in ((jr, ao_later), (mk, jr), (mk, ao)) for pair in align([first], [second]).pairs]
    assert len(pairs) == 3
    (moment,) = moments_of(pairs)
    assert {segment.line for segment in moment} == {mk.line, jr.line, ao.line}


seconds = st.lists(st.fractions(0, 60, max_denominator=4), max_size=8)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60, deadline=None)
@given(seconds, seconds)
def test_each_segment_is_in_one_place_and_no_pair_is_too_far(
    note: Note, first: list[Fraction], second: list[Fraction]
) -> None:
    left, right = [note("mk", at) for at in first], [note("jr", at) for at in second]
    aligned = align(left, right)
    ours = [pair.first.line for pair in aligned.pairs] + [segment.line for segment in aligned.first_alone]
    theirs = [pair.second.line for pair in aligned.pairs] + [segment.line for segment in aligned.second_alone]
    assert sorted(ours) == [segment.line for segment in left]
    assert sorted(theirs) == [segment.line for segment in right]
    for pair in aligned.pairs:
        assert abs(extents_of(pair.first)[FOOTAGE][0] - extents_of(pair.second)[FOOTAGE][0]) <= TOLERANCE
        assert 0 < pair.nearness <= 2
    for segment in aligned.first_alone:
        for other in aligned.second_alone:
            assert abs(extents_of(segment)[FOOTAGE][0] - extents_of(other)[FOOTAGE][0]) >= TOLERANCE


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60, deadline=None)
@given(st.lists(st.fractions(0, 60, max_denominator=4), max_size=10, unique=True))
def test_the_same_look_twice_matches_each_segment_with_itself(note: Note, at: list[Fraction]) -> None:
    annotation = [note("mk", second) for second in at]
    assert lines(align(annotation, annotation)) == [(segment.line, segment.line) for segment in annotation]
