"""Distinct moments: what is folded into one, and how hits are spread over bouts."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.index.encoder import Vectors
from fightnotes.library import Library
from fightnotes.model import Segment
from fightnotes.search.filters import Filters
from fightnotes.search.moments import Scored, fold_moments, one_moment, seconds_apart, spread_bouts
from tests.search.samples import NAMES

SAME = np.array([[1, 0], [1, 0]], dtype=np.float32)
OTHER = np.array([[1, 0], [0, 1]], dtype=np.float32)


def at(seconds: float | None, bout: str = "a", **more: Any) -> Segment:
    start = None if seconds is None else Fraction(str(seconds))
    given = {"start": start, "footage_start": start} | more
    return Segment(bout=bout, file="a.md", line=1, last_line=1, kind="note", text="Steps in.", **given)


@pytest.mark.parametrize(
    ("first", "second", "vectors", "one"),
    [
        (at(10), at(11.5), OTHER, True),
        (at(11.5), at(10), OTHER, True),
        (at(10), at(11.6), OTHER, False),
        (at(10), at(14), SAME, True),
        (at(10), at(14.1), SAME, False),
        (at(10), at(14), OTHER, False),
        (at(10), at(10, bout="b"), SAME, False),
        (at(None), at(None), SAME, False),
    ],
    ids=[
        "at nearly the same time", "whichever comes first", "near, of other things", "near, of the same thing",
        "too far apart", "of other things", "in another bout", "untimed",
    ],
)  # fmt: skip
def test_one_moment(first: Segment, second: Segment, vectors: Vectors, one: bool) -> None:
    assert one_moment(first, second, vectors) is one


@pytest.mark.parametrize(
    ("first", "second", "apart"),
    [
        (at(30, timed_on="breakdown", footage_start=Fraction(50)), at(52), 2),
        (at(30, timed_on="breakdown", footage_start=None), at(30), None),
        (at(30, timed_on="talk", footage_start=None), at(33, timed_on="talk", footage_start=None), 3),
        (at(None, round=2, clock_start=Fraction(60)), at(None, round=2, clock_start=Fraction(57)), 3),
        (at(None, round=2, clock_start=Fraction(60)), at(None, round=3, clock_start=Fraction(60)), None),
        (at(None, round=2, clock_start=Fraction(60)), at(90, round=2, clock_start=Fraction(59)), 1),
    ],
    ids=[
        "by the footage, of two recordings", "of two recordings, not aligned", "on one recording that is not aligned",
        "by the round clock", "in two rounds", "by the round clock, where only one has a media time",
    ],
)  # fmt: skip
def test_seconds_apart(first: Segment, second: Segment, apart: int | None) -> None:
    assert seconds_apart(first, second) == seconds_apart(second, first) == apart


def test_two_analysts_notes_and_the_speech_of_one_moment_are_one_hit(library: Library) -> None:
    hits = library.find("lead foot outside, left hand", Filters(rounds=(1, 1)), limit=100).hits
    stands = [hit for hit in hits if NAMES[hit.place] in ("outside landed", "outside, dv")]
    assert len(stands) == 1
    twins = [(NAMES[place.place], place.analyst) for place in stands[0].same_moment]
    assert twins in ([("outside, dv", "dv")], [("outside landed", "mk")])


def test_the_best_of_a_moment_stands_for_it() -> None:
    ranked = [Scored(number, 1 - number / 10, at(start)) for number, start in enumerate((10, 40, 11, 10.5, 41))]
    folded = fold_moments(ranked, np.eye(5, dtype=np.float32))
    assert [one.number for one in folded] == [0, 1]
    assert [len(one.same_moment) for one in folded] == [2, 1]


def scored(*moments: tuple[str, float]) -> list[Scored]:
    """Moments a minute apart, by bout and score, best first."""
    best_first = sorted(moments, key=lambda moment: -moment[1])
    return [Scored(number, score, at(number * 60, bout)) for number, (bout, score) in enumerate(best_first)]


def test_spread_takes_from_bouts_in_turn_while_scores_are_close() -> None:
    ranked = scored(("a", 0.9), ("a", 0.85), ("b", 0.8))
    assert [one.number for one in spread_bouts(ranked, 3)] == [0, 2, 1]
    assert [one.number for one in spread_bouts(ranked, 2)] == [0, 2]


def test_spread_keeps_a_much_better_moment_of_the_same_bout() -> None:
    assert [one.number for one in spread_bouts(scored(("a", 0.9), ("a", 0.85), ("b", 0.3)), 3)] == [0, 1, 2]


def test_spread_through_the_library_reaches_more_bouts(library: Library) -> None:
    plain, spread = (
        library.find("lead foot, left hand, guard and jab", limit=3, spread=spread).hits for spread in (False, True)
    )
    assert len({hit.bout.id for hit in spread}) >= len({hit.bout.id for hit in plain})
    assert spread[0] == plain[0]


@given(st.lists(st.tuples(st.sampled_from("ab"), st.integers(0, 40)), max_size=12))
def test_folding_loses_no_segment_and_leaves_none_that_is_one_moment(places: list[tuple[str, int]]) -> None:
    ranked = [Scored(number, 1.0, at(second, bout)) for number, (bout, second) in enumerate(places)]
    folded = fold_moments(ranked, np.eye(max(len(ranked), 1), dtype=np.float32)[: len(ranked)])
    assert sum(1 + len(one.same_moment) for one in folded) == len(ranked)
    for index, one in enumerate(folded):
        assert all(not one_moment(one.segment, other.segment, OTHER) for other in folded[index + 1 :])


@given(st.lists(st.tuples(st.sampled_from("abc"), st.floats(0, 1)), max_size=12), st.integers(1, 15))
def test_spread_gives_each_moment_once_and_the_best_first(moments: list[tuple[str, float]], limit: int) -> None:
    ranked = scored(*moments)
    chosen = spread_bouts(ranked, limit)
    assert len(chosen) == min(limit, len(ranked)) == len({one.number for one in chosen})
    assert not chosen or chosen[0].score == ranked[0].score


def test_notes_of_tags_alone_are_not_alike() -> None:
    bare = [at(seconds).model_copy(update={"text": ""}) for seconds in (10, 13)]
    assert not one_moment(*bare, SAME)
    assert one_moment(at(10), at(13), SAME)
    assert one_moment(bare[0], at(11), OTHER), "at nearly the same time they are one moment, however they are told"
