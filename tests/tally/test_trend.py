from __future__ import annotations

from math import inf, isfinite

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fightnotes.tally.count_trend import count_trend
from fightnotes.tally.estimate import Estimate
from fightnotes.tally.series_trend import series_trend
from fightnotes.tally.share_trend import share_trend
from fightnotes.tally.trend import Trend, in_words
from tests.bench.planted import KINDS, RATIO, counts_of

LEVELS = (1, 2, 3, 4, 5)


def in_order(estimate: Estimate | None) -> bool:
    assert estimate is not None
    return estimate.low <= estimate.value <= estimate.high


@pytest.mark.parametrize(
    ("trend", "words"),
    [
        (count_trend(LEVELS, (20, 31, 38, 52, 60), (10,) * 5), "from about 2.2 to about 6.3 a round"),
        (count_trend(LEVELS, (60, 52, 38, 31, 20), (10,) * 5), "from about 6.3 to about 2.2 a round"),
        (count_trend(LEVELS, (30, 31, 28, 32, 30), (10,) * 5), "no clear trend"),
        (count_trend(LEVELS, (1, 1, 2, 2, 3), (10,) * 5), "too few to say"),
        (count_trend((1, 1, 2, 2), (10, 12, 40, 44), (10,) * 4), "too few to say"),
        (Trend("rate", Estimate(0, 0, 1), Estimate(130, 90, 200), Estimate(inf, 9, inf), 0.01),
         "from about 0 to about 130 a round"),
    ],
)  # fmt: skip
def test_words_for_counts(trend: Trend, words: str) -> None:
    assert in_words(trend, "a round") == words


def test_words_for_shares_and_values() -> None:
    shares = share_trend(LEVELS, (10, 15, 20, 26, 30), (50,) * 5)
    assert in_words(shares) == "from about 20 % to about 61 %"
    values = series_trend(range(8), (0.031, 0.034, 0.036, 0.039, 0.042, 0.045, 0.048, 0.052))
    assert in_words(values, "a minute") == "from about 0.03 to about 0.051 a minute"


def test_an_adjusted_p_value_has_the_say() -> None:
    trend = count_trend(LEVELS, (20, 31, 38, 52, 60), (10,) * 5)
    assert trend.is_clear()
    assert not trend.is_clear(0.3)
    assert in_words(trend, "a round", p_value=0.3) == "no clear trend"


def test_directions() -> None:
    assert count_trend(LEVELS, (60, 52, 38, 31, 20), (10,) * 5).direction == -1
    assert share_trend(LEVELS, (10, 15, 20, 26, 30), (50,) * 5).direction == 1
    assert series_trend(range(6), (4, 4, 4, 4, 4, 4)).direction == 0
    assert count_trend((), (), ()).direction == 0


def test_too_few_says_of_what() -> None:
    assert count_trend(LEVELS, (1, 1, 2, 2, 3), (10,) * 5).too_few == "9 events, and 10 are needed"
    assert count_trend((1, 2), (50, 90), (10, 10)).too_few == "2 levels, and 3 are needed"
    assert share_trend(LEVELS, (19, 18, 19, 18, 20), (20,) * 5).too_few == "6 on one side, and 10 on each are needed"
    assert series_trend(range(4), (1, 2, 3, 4)).too_few == "4 values, and 5 are needed"
    one_bout = count_trend((1, 2, 3), (5, 20, 60), (10,) * 3, strata=("a",) * 3)
    assert one_bout.too_few is None
    apart = count_trend((1, 2, 3), (5, 20, 60), (10,) * 3, strata=("a", "b", "c"))
    assert apart.too_few == "too few levels within one bout"
    assert count_trend((1, 2, 3, 3), (5, 20, 60, 9), (1, 1, 1, 6), strata=("a", "b", "c", "c")).too_few == apart.too_few
    assert share_trend((1, 2, 3), (15, 20, 30), (40,) * 3, strata=("a", "b", "c")).too_few == apart.too_few


def test_rounds_without_exposure_are_left_out_and_counts_in_them_an_error() -> None:
    whole = count_trend((1, 2, 3, 4), (10, 20, 30, 0), (5, 5, 5, 0))
    assert whole == count_trend((1, 2, 3), (10, 20, 30), (5, 5, 5))
    with pytest.raises(ValueError, match="without exposure"):
        count_trend((1, 2, 3), (10, 20, 30), (5, 5, 0))
    with pytest.raises(ValueError, match="more than there are"):
        share_trend((1, 2, 3), (10, 20, 30), (20, 20, 20))
    with pytest.raises(ValueError, match="finite"):
        series_trend(range(6), (1, 2, 3, 4, 5, np.nan))


def test_twice_the_noted_time_is_half_the_rate() -> None:
    even = count_trend(LEVELS, (10, 20, 30, 40, 50), (5, 10, 15, 20, 25))
    assert even.effect is not None
    assert even.effect.value == pytest.approx(1.0)
    assert in_words(even) == "no clear trend"


def test_bouts_that_end_early_make_no_trend() -> None:
    """Each bout is as busy in all its rounds; those that last are the slow ones."""
    lasts = [1, 2] * 6 + [5] * 8
    cells = [
        (number, 8 if last < 5 else 2, 5, bout) for bout, last in enumerate(lasts) for number in range(1, last + 1)
    ]
    levels, counts, minutes, bouts = zip(*cells, strict=True)
    assert count_trend(levels, counts, minutes).is_clear(), "as if all cells were alike"
    assert in_words(count_trend(levels, counts, minutes, bouts)) == "no clear trend"
    shares = share_trend(levels, counts, [10] * len(counts)), share_trend(levels, counts, [10] * len(counts), bouts)
    assert [trend.is_clear() for trend in shares] == [True, False]


def test_one_busy_bout_is_not_a_trend_of_all() -> None:
    rng = np.random.default_rng(2)
    levels, bouts = np.tile([1, 2, 3], 10), np.repeat(np.arange(10), 3)
    counts = rng.poisson(3, 30)
    counts[:3] = (5, 30, 60)
    trend = count_trend(levels, counts, np.full(30, 5.0), bouts)
    assert trend.direction == 1
    assert not trend.is_clear()


def test_a_first_round_with_none_is_an_unbounded_ratio() -> None:
    trend = count_trend(LEVELS, (0, 0, 0, 0, 40), (5,) * 5)
    assert trend.effect is not None
    assert trend.first is not None
    assert (trend.effect.value, trend.effect.high, trend.first.value, trend.first.low) == (inf, inf, 0.0, 0.0)
    assert isfinite(trend.effect.low)
    assert isfinite(trend.first.high)
    falling = count_trend(LEVELS, (40, 0, 0, 0, 0), (5,) * 5)
    assert falling.effect is not None
    assert falling.effect.high == pytest.approx(1 / trend.effect.low)
    assert falling.p_value == pytest.approx(trend.p_value)


cell = st.tuples(
    st.integers(1, 5), st.integers(0, 40), st.floats(0.01, 1e4), st.sampled_from("abcdefghijkl"), st.integers(0, 40)
)


@settings(deadline=None)
@given(st.lists(cell, max_size=40), st.booleans())
def test_whatever_is_given_intervals_have_their_values(
    cells: list[tuple[int, int, float, str, int]], one: bool
) -> None:
    levels, counts, minutes, bouts, others = zip(*cells, strict=True) if cells else ((),) * 5
    strata = None if one else bouts
    of = [count + other for count, other in zip(counts, others, strict=True)]
    for trend in (
        count_trend(levels, counts, minutes, strata),
        share_trend(levels, counts, of, strata),
        series_trend(levels, counts),
    ):
        if trend.too_few is None:
            assert in_order(trend.first)
            assert in_order(trend.last)
            assert in_order(trend.effect)
            assert trend.p_value is not None
            assert 0 <= trend.p_value <= 1
        assert in_words(trend)


def test_the_order_of_cells_and_names_of_bouts_change_nothing() -> None:
    rng = np.random.default_rng(3)
    levels, bouts = np.tile([1, 2, 3], 9), np.repeat(np.arange(9), 3)
    counts, minutes, order = rng.poisson(4, 27), rng.uniform(2, 5, 27), rng.permutation(27)
    names = np.array([f"bout-{9 - bout}" for bout in bouts])
    one = count_trend(levels, counts, minutes, bouts)
    other = count_trend(levels[order], counts[order], minutes[order], names[order])
    assert other.p_value == pytest.approx(one.p_value)
    assert other.effect is not None
    assert one.effect is not None
    assert other.effect.high == pytest.approx(one.effect.high)


def test_a_long_series_takes_no_time_of_its_square() -> None:
    values = np.linspace(0, 1, 20_000) + np.random.default_rng(0).normal(size=20_000)
    trend = series_trend(np.arange(20_000), values)
    assert trend.effect is not None
    assert trend.effect.value == pytest.approx(1.0, abs=0.15)


def test_planted_trends_are_found_and_others_not() -> None:
    rng = np.random.default_rng(5)
    differ = next(kind for kind in KINDS if kind.name == "rates differ")
    nothing = [counts_of(differ, (12, 3), 1.0, rng).is_clear() for _ in range(150)]
    planted = [counts_of(differ, (12, 3), RATIO, rng).is_clear() for _ in range(50)]
    assert np.mean(nothing) <= 0.08
    assert np.mean(planted) >= 0.85
