"""What analysts leave out, told from the tags that they leave; over the demo with tags hidden."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from fightnotes.index.local_store import LocalStore
from fightnotes.suggesting.default_weights import default_weights, text_weights
from fightnotes.suggesting.habits import USUAL, TagHabits, habits_of, still_true
from fightnotes.suggesting.material import Material
from fightnotes.suggesting.suggest import examples_of
from tests.bench.tag_folds import read_material
from tests.bench.tag_hiding import hide, with_tags


@pytest.fixture(scope="module")
def material(demo: Path) -> Material:
    return read_material(LocalStore(demo))


def _habits(material: Material) -> TagHabits:
    rows = np.arange(len(material.segments))
    return habits_of(material, rows, examples_of(material, rows, text_weights()), default_weights())


def test_the_obvious_left_out_shows_in_what_labels_say_and_nowhere_else(material: Material) -> None:
    before, after = _habits(material).anyone, _habits(hide(material, "obvious", 1.0)).anyone
    assert after[1] < 0.4 < before[1]
    assert after[0] == pytest.approx(before[0], abs=0.1)


def test_one_analysts_habit_is_not_anothers(material: Material) -> None:
    before, after = _habits(material).by_analyst, _habits(hide(material, "analyst", 0.6)).by_analyst
    assert after["mk"][0] < before["mk"][0] - 0.3
    assert after["dv"][0] == pytest.approx(before["dv"][0], abs=0.1)


def test_the_fewer_tags_the_nearer_to_what_is_usual(material: Material) -> None:
    few = hide(material, "random", 0.99)
    np.testing.assert_allclose(_habits(few).anyone, USUAL, atol=0.1)
    none = with_tags(material, np.zeros(material.tags.shape, dtype=np.bool_))
    np.testing.assert_allclose(_habits(none).anyone, USUAL)


def test_odds_beside_tags_are_those_of_what_is_not_written(material: Material) -> None:
    """p (1 - c) / (1 - p c) is odds times 1 - c."""
    tagged = np.flatnonzero(material.tagged)
    found = np.random.default_rng(1).random((len(tagged), len(material.concepts.ids)), dtype=np.float32) * 0.9
    habits = TagHabits(np.array([0.9, 0.5]), {})
    rest = still_true(material, tagged, found, habits)
    said = material.labels[tagged].toarray() > 0
    np.testing.assert_allclose(rest / (1 - rest), found / (1 - found) * np.where(said, 0.5, 0.1), rtol=1e-4)


def test_a_note_passed_over_holds_as_much_as_before_and_another_is_left_alone(material: Material) -> None:
    rows = np.flatnonzero(~material.tagged)
    found = np.random.default_rng(1).random((len(rows), len(material.concepts.ids)), dtype=np.float32) * 0.05
    rest = still_true(material, rows, found, TagHabits(np.array([0.9, 0.1]), {}))
    passed = material.passed_over[rows]
    assert 0 < passed.sum() < len(rows)
    np.testing.assert_array_equal(rest[~passed], found[~passed])
    said = material.labels[rows].toarray() > 0
    some = passed & said.any(axis=1)
    assert (rest[some][said[some]] > found[some][said[some]]).all()
    assert (rest[some][~said[some]] < found[some][~said[some]]).all()
    assert (rest <= 1).all()


def test_sure_and_hopeless_pairs_stay_probabilities(material: Material) -> None:
    rows = np.arange(len(material.segments))
    for value in (0.0, 1.0):
        found = np.full(material.tags.shape, value, dtype=np.float32)
        rest = still_true(material, rows, found, TagHabits(np.array([0.98, 0.98]), {}))
        assert ((rest >= 0) & (rest <= 1)).all()
