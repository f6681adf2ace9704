"""The demo's tags, hidden bout by bout and guessed again: what the figures and the shipped weights are made from.

What is guessed is held against what the notes say (`tag_truth`), whether their analysts wrote it down or not.

Each fold's starting weights are fitted as the shipped ones are, on bouts that are not judged.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from sklearn.calibration import calibration_curve
from sklearn.metrics import average_precision_score, brier_score_loss, f1_score, precision_score

from fightnotes.index.store import Store
from fightnotes.suggesting.evidence import KINDS, TEXT_KINDS, text_evidence, training_evidence
from fightnotes.suggesting.examples import Matrix
from fightnotes.suggesting.habits import habits_of
from fightnotes.suggesting.kin import outdone
from fightnotes.suggesting.learn import TrainingSet, learn_weights, one_given, training_set
from fightnotes.suggesting.material import Flags, Material, Numbers, material_of
from fightnotes.suggesting.model import THRESHOLD, Weights, fit, start_weights
from fightnotes.suggesting.suggest import examples_of, probabilities
from fightnotes.suggesting.undone import only_undone
from tests.bench.tag_hiding import SEED, hide, hide_bouts
from tests.bench.tag_truth import Truth

SEEN = (
    ("random", 0.0), ("random", 0.6), ("random", 0.8), ("random", 0.95), ("random", 1.0), ("obvious", 0.6),
    ("obvious", 1.0), ("analyst", 1.0), ("random", 1.0), ("random", 0.95), ("random", 1.0),
)  # fmt: skip
"""Ways and shares of hiding that the shipped weights are fitted on; several leave few tags or none, as at first."""
SMALL = 20
"""They are fitted, too, on a library of one in so many segments and no tags."""
FOLDS = 5
LEAST = 0.05
"""Calibration is told, too, for the pairs alone that are not plainly impossible."""

PARTS = {
    "words": ("label", "label_words"),
    "definitions": ("definition_words", "meaning", "meaning_above_others", "below_sibling", "pairing_differs"),
    "examples": ("regression", "regression_log", "regression_below_best"),
}
"""The kinds by where they come from, for comparing each part alone with the whole."""


@dataclass(frozen=True)
class Start:
    """Weights to begin with: of what a text says by itself, and of all evidence."""

    text: Weights
    whole: Weights


@dataclass(frozen=True)
class Fold:
    held: Numbers
    """Rows of the bouts whose tags are judged."""
    start: Start
    """Of other bouts."""


@dataclass(frozen=True)
class Guess:
    """Probabilities of pairs, with what holds; pairs that a tag covers, and open ones, are left out of `counted`."""

    found: Matrix
    chosen: Flags
    true: Flags
    counted: Flags


def read_material(store: Store) -> Material:
    segments = store.every_segment()
    vectors = store.vectors_of(list(segments))
    return material_of(list(segments.values()), vectors, store.vocabulary, *store.concept_vectors)


def folds_of(truth: Truth) -> list[Fold]:
    """Each with what would be shipped if the demo were the bouts that are not held back."""
    of_bout = truth.written.bouts
    bouts = np.unique(of_bout)
    np.random.default_rng(SEED).shuffle(bouts)
    parts = [np.isin(of_bout, part) for part in np.array_split(bouts, FOLDS)]
    return [Fold(np.flatnonzero(held), shipped(truth, np.flatnonzero(~held))) for held in parts]


def shipped(truth: Truth, rows: Numbers) -> Start:
    """Fitted on what holds of the notes among `rows`, each seen in each situation of SEEN: once as a note without tags,
    and once with one tag as if it were all that is there."""
    material, pairs = truth.written, _taught(truth, rows)
    plain = text_evidence(material, pairs.rows)
    text = fit(plain, pairs.tagged, pairs.sample_weights, start_weights(plain, TEXT_KINDS), 1.0)
    others = np.setdiff1d(np.arange(len(material.segments)), rows)
    bare = hide_bouts(material, np.arange(len(material.segments)))
    evidence = [training_evidence(bare, pairs.rows, examples_of(bare, rows[::SMALL], text))]
    weights = [pairs.sample_weights]
    random = np.random.default_rng(SEED)
    for number, (way, share) in enumerate(SEEN):
        left = hide_bouts(hide(material, way, share, SEED + number), others)
        examples = examples_of(left, rows, text)
        given, rest = one_given(pairs, random)
        evidence.append(training_evidence(left, pairs.rows, examples))
        weights.append(pairs.sample_weights)
        evidence.append(training_evidence(left, pairs.rows, examples, given))
        weights.append(rest)
    seen = np.concatenate(evidence, axis=1)
    wanted = np.tile(pairs.tagged, (len(weights), 1))
    counts = np.concatenate(weights) / np.float32(1 + len(SEEN))
    whole = fit(seen, wanted, counts, start_weights(seen, KINDS), 1.0)
    return Start(text, whole)


def _taught(truth: Truth, rows: Numbers) -> TrainingSet:
    pairs = training_set(truth.complete, rows)
    return replace(pairs, sample_weights=np.where(truth.open[pairs.rows], np.float32(0), pairs.sample_weights))


def guess_labels(truth: Truth, part: Material, folds: Sequence[Fold]) -> Guess:
    """Plain label matching: what is said and not undone, 1, and all else 0. `part` has the tags that are left."""
    material = truth.written
    found = material.labels.toarray() * ~only_undone(material, np.arange(len(material.segments)))
    return _guess(truth, part, folds, found.astype(np.float32))


def guess_part(truth: Truth, folds: Sequence[Fold], kinds: tuple[str, ...]) -> Guess:
    """By some kinds of evidence alone, each fold's weights fitted on what holds of the other bouts."""

    def learned(part: Material, rows: Numbers, start: Start) -> Weights:
        pairs = _taught(truth, rows[part.tagged | ~truth.written.tagged])
        evidence = training_evidence(part, pairs.rows, examples_of(part, rows, start.text))
        return fit(evidence, pairs.tagged, pairs.sample_weights, start_weights(evidence, kinds), 1.0)

    return _by_fold(truth, truth.written, folds, True, learned)


def guess_shipped(truth: Truth, part: Material, folds: Sequence[Fold], new_bouts: bool) -> Guess:
    return _by_fold(truth, part, folds, new_bouts, lambda part, rows, start: start.whole)


def guess_whole(truth: Truth, part: Material, folds: Sequence[Fold], new_bouts: bool) -> Guess:
    """As the program does it. `new_bouts`: the tags of each fold are taken off too."""

    def learned(part: Material, rows: Numbers, start: Start) -> Weights:
        return learn_weights(part, rows, examples_of(part, rows, start.text), start.whole)

    return _by_fold(truth, part, folds, new_bouts, learned)


def _by_fold(
    truth: Truth,
    part: Material,
    folds: Sequence[Fold],
    new_bouts: bool,
    learned: Callable[[Material, Numbers, Start], Weights],
) -> Guess:
    every = np.arange(len(part.segments))
    found = np.zeros(part.tags.shape, dtype=np.float32)
    for fold in folds:
        known = hide_bouts(part, fold.held) if new_bouts else part
        weights = learned(known, every, fold.start)
        examples = examples_of(known, every, fold.start.text)
        habits = habits_of(known, every, examples, weights)
        found[fold.held] = probabilities(known, fold.held, examples, weights, habits)[0]
    return _guess(truth, hide_bouts(part, every) if new_bouts else part, folds, found)


def judged_rows(material: Material, folds: Sequence[Fold]) -> Numbers:
    """The tagged notes that are held back in one fold or another: the rows of a `Guess`."""
    held = np.concatenate([fold.held for fold in folds])
    return np.sort(held[material.tagged[held]])


def _guess(truth: Truth, part: Material, folds: Sequence[Fold], found: Matrix) -> Guess:
    """Of what the tags left leave open in tagged notes; a concept above a tag that holds is not counted."""
    rows = judged_rows(truth.written, folds)
    found = found[rows]
    holds = truth.complete.tags[rows].toarray() > 0
    left = part.covered[rows].toarray() > 0
    true = holds & ~left
    counted = ~left & (holds | ~(truth.complete.covered[rows].toarray() > 0)) & ~truth.open[rows]
    chosen = (found >= THRESHOLD) & ~outdone(part, rows, found) & counted
    return Guess(found, chosen, true, counted)


def measures(guess: Guess) -> dict[str, float]:
    """By scikit-learn, from what is counted; macro F1 is over the concepts that are tagged at all."""
    columns = np.flatnonzero(guess.true.any(axis=0))
    pairs, held = guess.found[guess.counted].astype(np.float64), guess.true[guess.counted]
    open_pairs = pairs >= LEAST
    ranked = [
        average_precision_score(true[counted], mine[counted])
        for true, mine, counted in zip(guess.true, guess.found, guess.counted, strict=True)
        if true.any()
    ]
    best = np.where(guess.counted, guess.found, 0).argmax(axis=1)
    right = guess.true[np.arange(len(best)), best]
    return {
        "micro F1": f1_score(guess.true, guess.chosen, average="micro", zero_division=0),
        "macro F1": f1_score(guess.true, guess.chosen, average="macro", labels=columns, zero_division=0),
        "precision": precision_score(guess.true, guess.chosen, average="micro", zero_division=0),
        "suggested": float(guess.chosen.sum()),
        "MAP": float(np.mean(ranked)) if ranked else 0.0,
        "first right": float(right.mean()),
        "Brier": brier_score_loss(held, pairs),
        "ECE": calibration_error(held, pairs),
        f"ECE p>={LEAST}": calibration_error(held[open_pairs], pairs[open_pairs]),
    }


def calibration_error(true: Flags, found: np.ndarray, bins: int = 10) -> float:
    """Expected calibration error: the mean over `bins` equal widths of |share true - mean probability|, weighted by how
    many fall there (Naeini, Cooper and Hauskrecht 2015, "Obtaining well calibrated probabilities using Bayesian
    binning"). The bins are scikit-learn's."""
    if not len(found):
        return 0.0
    shares, means = calibration_curve(true, found, n_bins=bins)
    place = np.searchsorted(np.linspace(0, 1, bins + 1)[1:-1], found)
    sizes = np.bincount(place, minlength=bins)
    return float(np.abs(shares - means) @ sizes[sizes > 0] / len(found))
