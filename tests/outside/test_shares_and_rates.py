"""Shares and rates against published cases and another library.

- Wilson's interval: the four cases of R. Newcombe, "Two-sided confidence intervals for the single proportion",
  Statistics in Medicine 17 (1998), 857-872, table I, method 3; statsmodels `proportion_confint`.
- Difference of two shares: cases (a) to (h) of R. Newcombe, Statistics in Medicine 17 (1998), 873-890, table
  II, method 10, from memory; statsmodels `confint_proportions_2indep`.
- Poisson interval: F. Garwood (1936), his table as it is widely reprinted, from memory; statsmodels
  `confint_poisson`.
- Ratio of rates: breast cancer after fluoroscopy, 41 in 28,010 and 15 in 19,017 person-years (K. Rothman, "Modern
  epidemiology"), with the exact interval that the manual of Stata's `ir` prints; from memory.
- False discovery rate: the 15 p values of Y. Benjamini, Y. Hochberg (1995), section 3.2; statsmodels `multipletests`.
"""

from __future__ import annotations

import numpy as np
import pytest
from statsmodels.stats.multitest import multipletests
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint
from statsmodels.stats.rates import confint_poisson

from fightnotes.tally.adjust import adjusted
from fightnotes.tally.estimate import Estimate
from fightnotes.tally.proportion import difference_of_shares, share
from fightnotes.tally.rate import rate, ratio_of_rates

BENJAMINI_HOCHBERG = (
    0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0,
)  # fmt: skip


def ends(estimate: Estimate | None) -> tuple[float, float]:
    assert estimate is not None
    return estimate.low, estimate.high


@pytest.mark.parametrize(
    ("count", "of", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_share_of_newcombes_cases(count: int, of: int, low: float, high: float) -> None:
    assert ends(share(count, of)) == pytest.approx((low, high), abs=5e-5)


@pytest.mark.parametrize("of", [1, 2, 7, 30, 1000])
def test_share_as_statsmodels(of: int) -> None:
    for count in {0, 1, of // 3, of - 1, of}:
        assert ends(share(count, of)) == pytest.approx(proportion_confint(count, of, method="wilson"), abs=1e-12)


@pytest.mark.parametrize(
    ("first", "other", "low", "high"),
    [
        ((56, 70), (48, 80), 0.0524, 0.3339),
        ((9, 10), (3, 10), 0.1705, 0.8090),
        ((6, 7), (2, 7), 0.0582, 0.8062),
        ((5, 56), (0, 29), -0.0381, 0.1926),
        ((0, 10), (0, 20), -0.1611, 0.2775),
        ((0, 10), (0, 10), -0.2775, 0.2775),
        ((10, 10), (0, 20), 0.6791, 1.0),
        ((10, 10), (0, 10), 0.6075, 1.0),
    ],
)
def test_difference_of_newcombes_cases(first: tuple[int, int], other: tuple[int, int], low: float, high: float) -> None:
    assert ends(difference_of_shares(*first, *other)) == pytest.approx((low, high), abs=5e-5)


@pytest.mark.parametrize("seed", range(20))
def test_difference_as_statsmodels(seed: int) -> None:
    rng = np.random.default_rng(seed)
    of, other_of = rng.integers(1, 60, 2).tolist()
    count, other_count = int(rng.integers(0, of + 1)), int(rng.integers(0, other_of + 1))
    expected = confint_proportions_2indep(count, of, other_count, other_of, method="newcomb", compare="diff")
    assert ends(difference_of_shares(count, of, other_count, other_of)) == pytest.approx(expected, abs=1e-10)


@pytest.mark.parametrize(
    ("count", "low", "high"), [(0, 0.0, 3.69), (1, 0.0253, 5.57), (5, 1.62, 11.67), (10, 4.80, 18.39)]
)
def test_rate_of_garwoods_table(count: int, low: float, high: float) -> None:
    assert ends(rate(count, 1.0)) == pytest.approx((low, high), abs=5e-3)


@pytest.mark.parametrize("count", [1, 2, 17, 400])
def test_rate_as_statsmodels(count: int) -> None:
    expected = confint_poisson(count, 12.5, method="exact-c")
    assert ends(rate(count, 12.5)) == pytest.approx(expected, rel=1e-10)


def test_ratio_of_rates_of_a_textbook() -> None:
    found = ratio_of_rates(41, 28010, 15, 19017)
    assert found is not None
    assert (found.value, found.low, found.high) == pytest.approx((1.855759, 1.005684, 3.6093), abs=5e-5)


def test_adjusted_rejects_what_the_paper_rejects() -> None:
    held = adjusted(BENJAMINI_HOCHBERG)
    assert [value <= 0.05 for value in held if value is not None] == [True] * 4 + [False] * 11
    assert sum(value * len(BENJAMINI_HOCHBERG) <= 0.05 for value in BENJAMINI_HOCHBERG) == 3, "Bonferroni's"


@pytest.mark.parametrize("seed", range(10))
def test_adjusted_as_statsmodels(seed: int) -> None:
    values = np.random.default_rng(seed).beta(0.5, 2, 40)
    assert adjusted(values.tolist()) == pytest.approx(multipletests(values, method="fdr_bh")[1], abs=1e-12)
