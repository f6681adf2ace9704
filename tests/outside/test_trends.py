"""Trends against published examples and other libraries.

- Counts: statsmodels `GLM` with Poisson family and exposure, and its score test; with a constant for each stratum.
- Shares: alcohol and malformation at birth (A. Agresti, "Categorical data analysis", table of Graubard and Korn), from
  memory, with its M squared of 6.57; statsmodels `Table.test_ordinal_association` and, in strata, its figures added.
- Series: pymannkendall `original_test` and `sens_slope`.
"""

from __future__ import annotations

from math import log, sqrt

import numpy as np
import pymannkendall
import pytest
import statsmodels.api as sm
from scipy import stats
from statsmodels.stats.contingency_tables import Table

from fightnotes.tally.count_trend import count_trend
from fightnotes.tally.estimate import Estimate
from fightnotes.tally.series_trend import series_trend
from fightnotes.tally.share_trend import share_trend
from fightnotes.tally.strata import Spread
from fightnotes.tally.trend import Trend

DRINKS = (0, 0.5, 1.5, 4, 7)
MALFORMED = (48, 38, 5, 1, 1)
BIRTHS = (17114, 14502, 793, 127, 38)


def ends(estimate: Estimate | None) -> tuple[float, float, float]:
    assert estimate is not None
    return estimate.value, estimate.low, estimate.high


def by_chance_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the libraries know of: the variance that chance alone gives, and the normal distribution."""
    monkeypatch.setattr(Spread, "p_value", lambda self, score: float(2 * stats.norm.sf(abs(score))))
    monkeypatch.setattr(Spread, "reach", property(lambda self: float(stats.norm.isf(0.025))))


def poisson(levels: np.ndarray, counts: np.ndarray, exposures: np.ndarray, strata: np.ndarray) -> object:
    constants = (strata[:, None] == np.unique(strata)[None, :]).astype(float)
    between = (levels - levels.min()) / (levels.max() - levels.min())
    return sm.GLM(counts, np.column_stack([constants, between]), family=sm.families.Poisson(), exposure=exposures)


def rounds(seed: int, bouts: int) -> tuple[np.ndarray, ...]:
    rng = np.random.default_rng(seed)
    levels, strata = np.tile([1.0, 2.0, 3.0, 5.0], bouts), np.repeat(np.arange(bouts), 4)
    exposures = rng.uniform(2, 5, len(levels))
    counts = rng.poisson(exposures * (1 + rng.gamma(2, 1, bouts))[strata] * np.exp(0.2 * levels)) + (levels == 1)
    return levels, counts, exposures, strata


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize("bouts", [1, 2, 6, 20])
def test_counts_as_statsmodels(seed: int, bouts: int, monkeypatch: pytest.MonkeyPatch) -> None:
    by_chance_alone(monkeypatch)
    levels, counts, exposures, strata = rounds(seed, bouts)
    found = count_trend(levels, counts, exposures, None if bouts == 1 else strata)
    model = poisson(levels, counts, exposures, strata)
    fitted = model.fit(tol=1e-12)
    assert ends(found.effect)[0] == pytest.approx(np.exp(fitted.params[-1]), rel=1e-6)
    null = sm.GLM(counts, model.exog[:, :-1], family=sm.families.Poisson(), exposure=exposures).fit(tol=1e-12)
    (p_value,) = null.score_test(exog_extra=model.exog[:, -1:])[1]
    assert found.p_value == pytest.approx(float(p_value), rel=1e-5)


@pytest.mark.parametrize("seed", range(10))
def test_rates_and_interval_come_near_those_of_statsmodels(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its interval is Wald's and ours that of the score; with many events they are nearly one."""
    by_chance_alone(monkeypatch)
    rng = np.random.default_rng(seed)
    levels, exposures = np.arange(12.0), rng.uniform(20, 60, 12)
    counts = rng.poisson(exposures * np.exp(0.5 + 0.06 * levels))
    found = count_trend(levels, counts, exposures)
    fitted = poisson(levels, counts, exposures, np.zeros(12)).fit()
    assert np.log(ends(found.effect)[1:]) == pytest.approx(fitted.conf_int()[-1], abs=0.02)
    exog = np.array([[1.0, 0.0], [1.0, 1.0]])
    expected = fitted.get_prediction(exog, exposure=np.ones(2)).conf_int()
    # The fit has one bout a cell, and so allows for what bouts add, too: at least as wide.
    for ours, (low, high) in zip((found.first, found.last), expected, strict=True):
        value, lowest, highest = ends(ours)
        assert sqrt(low * high) == pytest.approx(value, rel=1e-3)
        assert log(lowest) <= log(low) + 0.01
        assert log(highest) >= log(high) - 0.01


@pytest.mark.parametrize("seed", range(10))
def test_dispersion_as_statsmodels(seed: int) -> None:
    """Strata too few to be held against each other: quasi-Poisson, by Student's t."""
    rng = np.random.default_rng(seed)
    levels, counts, exposures, strata = rounds(seed, 5)
    counts = rng.poisson(counts * rng.gamma(1, 1, len(counts))) + 1
    found = count_trend(levels, counts, exposures, strata)
    model = poisson(levels, counts, exposures, strata)
    dispersion = max(1.0, model.fit(scale="X2", tol=1e-12).scale)
    null = sm.GLM(counts, model.exog[:, :-1], family=sm.families.Poisson(), exposure=exposures).fit(tol=1e-12)
    (squared,) = null.score_test(exog_extra=model.exog[:, -1:])[0]
    freedom = len(counts) - model.exog.shape[1]
    assert found.p_value == pytest.approx(float(2 * stats.t.sf(np.sqrt(squared / dispersion), freedom)), rel=1e-5)


def test_shares_of_a_textbook(monkeypatch: pytest.MonkeyPatch) -> None:
    by_chance_alone(monkeypatch)
    found = share_trend(DRINKS, MALFORMED, BIRTHS)
    assert found.p_value is not None
    assert stats.norm.isf(found.p_value / 2) ** 2 == pytest.approx(6.57, abs=5e-3)


@pytest.mark.parametrize("seed", range(10))
def test_shares_as_statsmodels(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    by_chance_alone(monkeypatch)
    rng = np.random.default_rng(seed)
    levels, of = np.array([1.0, 2.0, 4.0, 7.0, 8.0]), rng.integers(20, 90, 5)
    counts = rng.binomial(of, 0.4)
    found = share_trend(levels, counts, of)
    expected = Table(np.column_stack([of - counts, counts])).test_ordinal_association(levels, np.array([0, 1]))
    assert found.p_value == pytest.approx(expected.pvalue, rel=1e-9)


@pytest.mark.parametrize("seed", range(10))
def test_line_of_shares_as_least_squares(seed: int) -> None:
    """Armitage's line: that of least squares through ones and zeros."""
    rng = np.random.default_rng(seed)
    levels, of = np.array([1.0, 2.0, 3.0, 5.0]), rng.integers(20, 60, 4)
    counts = rng.binomial(of, 0.4)
    single = np.concatenate([[1.0] * one + [0.0] * (all_ - one) for one, all_ in zip(counts, of, strict=True)])
    line = stats.linregress(np.repeat(levels, of), single)
    found = share_trend(levels, counts, of)
    assert ends(found.first)[0] == pytest.approx(line.intercept + line.slope, abs=1e-9)
    assert ends(found.last)[0] == pytest.approx(line.intercept + 5 * line.slope, abs=1e-9)


@pytest.mark.parametrize("seed", range(10))
def test_shares_in_strata_as_mantel(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Statistics, their means and their variances, each stratum's by statsmodels, are added."""
    by_chance_alone(monkeypatch)
    rng = np.random.default_rng(seed)
    levels, strata = np.tile([1.0, 2.0, 3.0], 6), np.repeat(np.arange(6), 3)
    of = rng.integers(5, 12, 18)
    counts = rng.binomial(of, rng.beta(2, 3, 6)[strata])
    score, variance = 0.0, 0.0
    for stratum in range(6):
        here = strata == stratum
        table = Table(np.column_stack([of - counts, counts])[here], shift_zeros=False)
        with np.errstate(invalid="ignore"):  # its z score, where all of a stratum are it
            told = table.test_ordinal_association(levels[here], np.array([0, 1]))
        score, variance = score + told.statistic - told.null_mean, variance + told.null_sd**2
    found = share_trend(levels, counts, of, strata)
    assert found.p_value == pytest.approx(2 * stats.norm.sf(abs(score) / np.sqrt(variance)), rel=1e-9)


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize("places", [6, 0])
def test_series_as_pymannkendall(seed: int, places: int) -> None:
    """Theirs takes one off S, for continuity, which with 80 values changes little."""
    rng = np.random.default_rng(seed)
    values = np.round(rng.normal(size=80) + np.linspace(0, 0.8, 80), places)
    theirs, ours = pymannkendall.original_test(values), series_trend(np.arange(80), values)
    assert ours.p_value == pytest.approx(float(2 * stats.norm.sf(abs(theirs.s) / np.sqrt(theirs.var_s))), rel=1e-9)
    assert ours.p_value == pytest.approx(theirs.p, abs=0.005)
    assert ends(ours.effect)[0] == pytest.approx(79 * theirs.slope, abs=1e-9)
    assert ends(ours.first)[0] == pytest.approx(theirs.intercept, abs=1e-9)


def test_few_values_by_all_their_orders() -> None:
    """S of five values without ties is 8 or more in 5 of 120 orders, and 10 in one (Kendall's table)."""

    def p_value(*values: float) -> float | None:
        return series_trend(range(5), values).p_value

    assert p_value(1, 2, 3, 5, 4) == pytest.approx(10 / 120)
    assert p_value(1, 2, 3, 4, 5) == pytest.approx(2 / 120)


def test_few_values_with_ties_by_all_their_orders() -> None:
    """1 1 2 2 3 has 30 orders that differ; S is as great in this one and in its mirror image alone."""
    found: Trend = series_trend(range(5), (1, 1, 2, 2, 3))
    assert found.p_value == pytest.approx(2 / 30, abs=0.01)
