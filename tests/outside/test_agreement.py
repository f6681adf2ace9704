"""Agreement against published examples and reference libraries.

- Cohen's kappa: the worked example of J. Cohen (1960), table 2, in counts; taken from two programs that
  quote it, not from the paper. scikit-learn `cohen_kappa_score` on random data.
- Krippendorff's alpha: the reliability data with four observers of K. Krippendorff, "Computing
  Krippendorff's alpha-reliability", and the widely reprinted table with three; both tables and figures
  from memory, and checked here against the `krippendorff` package as well. The package again on random data
  with missing values.
- MASI: formula of R. Passonneau (2006) from memory; nltk `masi_distance` and `AnnotationTask.alpha` on
  random data.
- Boundary similarity: the seven readers of M. Hearst (1997) as segeval 2.0.11 carries them, and segeval on
  random data.
- Percentile bootstrap: scipy.stats.bootstrap, and Student's interval of a mean; what it holds of simulated truths.
"""

from __future__ import annotations

import json
from itertools import accumulate, combinations
from pathlib import Path

import krippendorff
import numpy as np
import pytest
import segeval
from nltk import AnnotationTask
from nltk.metrics import masi_distance
from scipy.stats import bootstrap, t
from sklearn.metrics import cohen_kappa_score

from fightnotes.audit.agreement import interval
from fightnotes.audit.agreement.boundaries import boundary_scores
from fightnotes.audit.agreement.coefficients import (
    cohen_kappa,
    krippendorff_alpha,
    masi_distances,
    nominal_distances,
    presence_distances,
    units_of,
)
from fightnotes.audit.agreement.interval import estimate, outside_of, resample
from tests.bench.agreement_coverage import CONCEPTS, coverage

GAP = np.nan
THREE_OBSERVERS = np.array(
    [
        [GAP, GAP, GAP, GAP, GAP, 3, 4, 1, 2, 1, 1, 3, 3, GAP, 3],
        [1, GAP, 2, 1, 3, 3, 4, 3, GAP, GAP, GAP, GAP, GAP, GAP, GAP],
        [GAP, GAP, 2, 1, 3, 4, 4, GAP, 2, 1, 1, 3, 3, GAP, 4],
    ]
)
FOUR_OBSERVERS = np.array(
    [
        [1, 2, 3, 3, 2, 1, 4, 1, 2, GAP, GAP, GAP],
        [1, 2, 3, 3, 2, 2, 4, 1, 2, 5, GAP, 3],
        [GAP, 3, 3, 3, 2, 3, 4, 2, 2, 5, 1, GAP],
        [1, 2, 3, 3, 2, 4, 4, 1, 2, 5, 1, GAP],
    ]
)
LETTERS = "abcdef"


def value_counts(data: np.ndarray) -> np.ndarray:
    """(observers, units) of values from 1, nan where missing -> (units, values)."""
    return np.stack([(data == value).sum(axis=0) for value in range(1, int(np.nanmax(data)) + 1)], axis=1)


def alpha(counts: np.ndarray, distance: np.ndarray) -> float:
    units = units_of(counts.astype(float), distance)
    return float(krippendorff_alpha(units, np.ones((1, len(counts))))[0])


def squared_differences(size: int) -> np.ndarray:
    values = np.arange(size, dtype=float)
    return (values[:, None] - values[None, :]) ** 2


def random_sets(rng: np.random.Generator, count: int) -> list[frozenset[str]]:
    return [frozenset(letter for letter in LETTERS if rng.random() < 0.35) for _ in range(count)]


def as_rows(sets: list[frozenset[str]]) -> np.ndarray:
    return np.array([[letter in members for letter in LETTERS] for members in sets])


def test_kappa_of_cohens_own_example() -> None:
    table = np.array([[88, 14, 18], [10, 40, 10], [2, 6, 12]], dtype=float)
    assert cohen_kappa(table) == pytest.approx(0.492, abs=5e-4)


@pytest.mark.parametrize("seed", range(20))
def test_kappa_as_scikit_learn(seed: int) -> None:
    rng = np.random.default_rng(seed)
    categories = int(rng.integers(2, 6))
    first = rng.integers(0, categories, 80)
    second = np.where(rng.random(80) < 0.6, first, rng.integers(0, categories, 80))
    table = np.zeros((categories, categories))
    np.add.at(table, (first, second), 1)
    assert cohen_kappa(table) == pytest.approx(cohen_kappa_score(first, second), abs=1e-12)


@pytest.mark.parametrize(
    ("data", "nominal", "interval"), [(THREE_OBSERVERS, 0.691, 0.811), (FOUR_OBSERVERS, 0.743, 0.849)]
)
def test_alpha_of_krippendorffs_own_examples(data: np.ndarray, nominal: float, interval: float) -> None:
    counts = value_counts(data)
    size = counts.shape[1]
    assert alpha(counts, nominal_distances(size)) == pytest.approx(nominal, abs=5e-4)
    assert alpha(counts, squared_differences(size)) == pytest.approx(interval, abs=5e-4)
    assert krippendorff.alpha(data, level_of_measurement="nominal") == pytest.approx(nominal, abs=5e-4)
    assert krippendorff.alpha(data, level_of_measurement="interval") == pytest.approx(interval, abs=5e-4)


@pytest.mark.parametrize("seed", range(20))
def test_alpha_with_missing_values_as_the_krippendorff_package(seed: int) -> None:
    rng = np.random.default_rng(seed)
    truth = rng.integers(1, 5, 40)
    data = np.where(rng.random((4, 40)) < 0.6, truth, rng.integers(1, 5, (4, 40))).astype(float)
    data[rng.random((4, 40)) < 0.4] = GAP
    data[0, :4] = (1, 2, 3, 4)
    counts = value_counts(data)
    for level, distance in (("nominal", nominal_distances(4)), ("interval", squared_differences(4))):
        expected = krippendorff.alpha(value_counts=counts, value_domain=[1, 2, 3, 4], level_of_measurement=level)
        assert alpha(counts, distance) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        ("ab", "ab", 0.0),
        ("ab", "abcd", 1 - 2 / 4 * 2 / 3),
        ("abc", "bcd", 1 - 2 / 4 * 1 / 3),
        ("ab", "cd", 1.0),
        ("", "a", 1.0),
        ("", "", 0.0),
    ],
)
def test_masi_by_its_four_cases(first: str, second: str, expected: float) -> None:
    distances = masi_distances(as_rows([frozenset(first), frozenset(second)]))
    assert distances[0, 1] == distances[1, 0] == pytest.approx(expected, abs=1e-12)


def test_presence_counts_the_members_of_one_set_alone() -> None:
    sets = [frozenset("abc"), frozenset("c"), frozenset("cd"), frozenset()]
    expected = [[len(one ^ other) for other in sets] for one in sets]
    assert presence_distances(as_rows(sets)).tolist() == expected


def test_masi_as_nltk() -> None:
    sets = [members for members in random_sets(np.random.default_rng(5), 60) if members]
    distances = masi_distances(as_rows(sets))
    for row, first in enumerate(sets):
        for column, second in enumerate(sets):
            assert distances[row, column] == pytest.approx(masi_distance(first, second), abs=1e-12)


@pytest.mark.parametrize("seed", range(10))
def test_alpha_over_sets_as_nltk(seed: int) -> None:
    rng = np.random.default_rng(seed)
    truth = [members or frozenset("a") for members in random_sets(rng, 30)]
    answers = [
        (coder, unit, members if rng.random() < 0.6 else frozenset(rng.choice(list(LETTERS), 2)))
        for coder in ("mk", "jr", "ao")
        for unit, members in enumerate(truth)
    ]
    distinct = sorted({members for _, _, members in answers}, key=sorted)
    counts = np.zeros((30, len(distinct)))
    for _, unit, members in answers:
        counts[unit, distinct.index(members)] += 1
    masi = AnnotationTask(data=answers, distance=masi_distance)
    assert alpha(counts, masi_distances(as_rows(distinct))) == pytest.approx(masi.alpha(), abs=1e-12)
    presence = AnnotationTask(data=answers, distance=lambda one, other: float(len(one ^ other)))
    assert alpha(counts, presence_distances(as_rows(distinct))) == pytest.approx(presence.alpha(), abs=1e-12)


def hearst() -> dict[str, list[int]]:
    """Boundary positions of each reader, from the lengths of the parts that they made."""
    file = Path(segeval.__file__).parent / "data" / "hearst1997.json"
    (lengths,) = json.loads(file.read_text())["items"].values()
    return {reader: list(accumulate(parts))[:-1] for reader, parts in lengths.items()}


def test_boundary_similarity_of_hearsts_readers() -> None:
    readers = hearst()
    scores = [boundary_scores(readers[one], readers[other], 1) for one, other in combinations(readers, 2)]
    assert len(readers) == 7
    assert np.mean([np.mean(found) for found in scores]) == pytest.approx(0.5337, abs=5e-5)


def test_boundary_scores_give_segevals_chance_corrected_figure_for_hearst() -> None:
    readers = hearst()
    pooled = [
        score for one, other in combinations(readers, 2) for score in boundary_scores(readers[one], readers[other], 1)
    ]
    positions = 20  # 21 paragraphs
    by_chance = np.mean([len(placed) / positions for placed in readers.values()]) ** 2
    assert (np.mean(pooled) - by_chance) / (1 - by_chance) == pytest.approx(0.4644, abs=5e-5)


@pytest.mark.parametrize("seed", range(30))
def test_boundary_similarity_as_segeval(seed: int) -> None:
    rng = np.random.default_rng(seed)
    first, second = (sorted(set(rng.integers(1, 60, 14).tolist())) for _ in range(2))
    parts = [tuple(np.diff([0, *placed, 60]).tolist()) for placed in (first, second)]
    for reach in (1, 2, 3):
        expected = float(segeval.boundary_similarity(*parts, n_t=reach + 1))
        assert np.mean(boundary_scores(first, second, reach)) == pytest.approx(expected, abs=1e-12)


def test_interval_as_scipys_percentile_bootstrap(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each unit a bout of its own, at the level that the expansion asks for."""
    monkeypatch.setattr(interval, "RESAMPLES", 20_000)
    values = np.random.default_rng(3).normal(size=60)
    drawn = resample([str(unit) for unit in range(60)])
    ours = estimate(lambda weights: weights @ values / weights.sum(axis=1), drawn, "values")
    level = 1 - 2 * outside_of(60)
    theirs = bootstrap(
        (values,), np.mean, confidence_level=level, n_resamples=20_000, method="percentile",
        rng=np.random.default_rng(1),
    ).confidence_interval  # fmt: skip
    assert (ours.low, ours.high) == pytest.approx((theirs.low, theirs.high), abs=0.015)
    assert 0.95 < level < 0.96


def test_interval_of_a_mean_reaches_as_far_as_students_t() -> None:
    """With few bouts of one size: the textbook interval of their means, which it comes near to."""
    values = np.random.default_rng(4).normal(size=10)
    bouts = [str(bout) for bout in range(10) for _ in range(3)]
    repeated = np.repeat(values, 3)
    ours = estimate(lambda weights: weights @ repeated / weights.sum(axis=1), resample(bouts), "values")
    reach = t.ppf(0.975, 9) * values.std(ddof=1) / np.sqrt(10)
    assert ours.low is not None
    assert ours.high is not None
    assert (ours.high - ours.low) / 2 == pytest.approx(reach, rel=0.15)


def test_intervals_hold_what_they_say_in_simulated_libraries() -> None:
    given, ours, by_moments = coverage(CONCEPTS[0], bouts=10, libraries=150)
    assert given == 150
    assert ours >= 0.9
    assert by_moments < 0.87, "drawing moments, as if those of a bout were not alike, says too much"
