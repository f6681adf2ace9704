"""The demo's tags, hidden bout by bout and guessed again: what the figures and the shipped weights are made from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from scipy.sparse import csr_array
from sklearn.calibration import calibration_curve
from sklearn.metrics import average_precision_score, brier_score_loss, f1_score, precision_score

from fightnotes.index.store import Store
from fightnotes.suggesting.evidence import KINDS, evidence_of, training_evidence
from fightnotes.suggesting.examples import Examples, Matrix
from fightnotes.suggesting.learn import FEWEST_TAGGED, TrainingSet, training_set
from fightnotes.suggesting.material import Flags, Material, Numbers, material_of
from fightnotes.suggesting.model import Weights, fit, start_weights
from fightnotes.suggesting.suggest import THRESHOLD
from fightnotes.suggesting.undone import only_undone

SHARES = (0.0, 0.05, 0.2, 1.0)
"""Of the tagged segments, those whose tags are known."""
FOLDS = 5
SEED = 20310308
LEAST = 0.05
"""Calibration is told, too, for the pairs alone that are not plainly impossible."""

PARTS = {
    "words": ("label", "label_words"),
    "definitions": ("definition_words", "meaning", "meaning_above_others", "pairing_differs"),
    "examples": ("regression", "regression_log", "regression_below_best", "prior"),
}
"""The kinds by where they come from, for comparing each part alone with the whole."""


@dataclass(frozen=True)
class Fold:
    """One part of the bouts held back, with what the others teach when a share of their tags is known."""

    held: Numbers
    """Rows of the tagged notes held back."""
    pairs: TrainingSet
    training: Matrix
    """Evidence of the pairs."""
    evidence: Matrix
    """Of the rows held back."""
    known: int
    """Tagged segments learned from."""


@dataclass(frozen=True)
class Guess:
    """Probabilities of pairs, with what holds; pairs that a tag covers are left out of `counted`."""

    found: Matrix
    true: Flags
    counted: Flags


def read_material(store: Store) -> Material:
    segments = store.every_segment()
    vectors = store.vectors_of(list(segments))
    return material_of(list(segments.values()), vectors, store.vocabulary, *store.concept_vectors)


def folds_of(material: Material, share: float) -> list[Fold]:
    made = []
    for number, held in enumerate(_held_back(material)):
        rest = np.setdiff1d(np.arange(len(material.segments)), held)
        known = sample(material, rest, share, SEED + number)
        taught = replace(material, tags=_only(material, known))
        examples = Examples(taught, known)
        pairs = training_set(taught, rest)
        mine = held[material.tagged[held]]
        training = training_evidence(taught, pairs.rows, examples)
        made.append(Fold(mine, pairs, training, evidence_of(taught, mine, examples), len(known)))
    return made


def _only(material: Material, rows: Numbers) -> csr_array:
    """The tags of some segments, those of the others taken off."""
    kept = np.zeros(len(material.segments), dtype=np.float32)
    kept[rows] = 1
    tags = csr_array(material.tags.multiply(kept[:, None]))
    tags.eliminate_zeros()
    return tags


def _held_back(material: Material) -> Iterator[Numbers]:
    bouts = np.unique(material.bouts)
    np.random.default_rng(SEED).shuffle(bouts)
    for part in np.array_split(bouts, FOLDS):
        yield np.flatnonzero(np.isin(material.bouts, part))


def sample(material: Material, rows: Numbers, share: float, seed: int) -> Numbers:
    """Some of the tagged rows, the same each time."""
    tagged = rows[material.tagged[rows]]
    return tagged[np.random.default_rng(seed).random(len(tagged)) < share]


def starting_weights(material: Material) -> list[Weights]:
    """For each fold, what would be shipped if the demo were the bouts that are not held back."""
    return [
        shipped_weights(material, np.setdiff1d(np.arange(len(material.segments)), held))
        for held in _held_back(material)
    ]


def shipped_weights(material: Material, rows: Numbers) -> Weights:
    """Fitted on the notes among `rows`, each seen with each share of the other bouts' tags."""
    pairs = training_set(material, rows)
    seen = [
        training_evidence(material, pairs.rows, Examples(material, sample(material, rows, share, SEED)))
        for share in SHARES
    ]
    evidence = np.concatenate(seen, axis=1)
    times = (len(SHARES), 1)
    counts = np.tile(pairs.sample_weights, times) / np.float32(len(SHARES))
    return fit(evidence, np.tile(pairs.tagged, times), counts, start_weights(evidence, KINDS), 1.0)


def guess_part(material: Material, folds: list[Fold], kinds: tuple[str, ...]) -> Guess:
    """By some kinds of evidence alone, each fold's weights fitted on the other bouts."""
    weights = [
        fit(fold.training, fold.pairs.tagged, fold.pairs.sample_weights, start_weights(fold.training, kinds), 1.0)
        for fold in folds
    ]
    return _guess(material, folds, weights)


def guess_whole(material: Material, folds: list[Fold], start: list[Weights]) -> Guess:
    """As the program does it, from starting weights that no held-back bout had a part in."""
    weights = [
        fit(fold.training, fold.pairs.tagged, fold.pairs.sample_weights, begun)
        if fold.known >= FEWEST_TAGGED
        else begun
        for fold, begun in zip(folds, start, strict=True)
    ]
    return _guess(material, folds, weights)


def _guess(material: Material, folds: list[Fold], weights: list[Weights]) -> Guess:
    found = np.concatenate([mine.probabilities(fold.evidence) for fold, mine in zip(folds, weights, strict=True)])
    rows = np.concatenate([fold.held for fold in folds])
    found[only_undone(material, rows)] = 0.0
    true = material.tags[rows].toarray() > 0
    covered = (material.tags[rows] @ material.concepts.above).toarray() > 0
    return Guess(found, true, true | ~covered)


def measures(guess: Guess) -> dict[str, float]:
    """By scikit-learn, from what is counted; macro F1 is over the concepts that are tagged at all."""
    found = np.where(guess.counted, guess.found, 0.0)
    chosen = found >= THRESHOLD
    columns = np.flatnonzero(guess.true.any(axis=0))
    pairs, held = guess.found[guess.counted].astype(np.float64), guess.true[guess.counted]
    open_pairs = pairs >= LEAST
    ranked = [
        average_precision_score(true[counted], mine[counted])
        for true, mine, counted in zip(guess.true, guess.found, guess.counted, strict=True)
    ]
    best = found.argmax(axis=1)
    right = guess.true[np.arange(len(best)), best]
    return {
        "micro F1": f1_score(guess.true, chosen, average="micro", zero_division=0),
        "macro F1": f1_score(guess.true, chosen, average="macro", labels=columns, zero_division=0),
        "precision": precision_score(guess.true, chosen, average="micro", zero_division=0),
        "suggested": float(chosen.sum()),
        "MAP": float(np.mean(ranked)),
        "first right": float(right.mean()),
        "Brier": brier_score_loss(held, pairs),
        "ECE": calibration_error(held, pairs),
        f"ECE p>={LEAST}": calibration_error(held[open_pairs], pairs[open_pairs]),
        "ECE first": calibration_error(right, found.max(axis=1).astype(np.float64)),
    }


def calibration_error(true: Flags, found: np.ndarray, bins: int = 10) -> float:
    """Expected calibration error: the mean over `bins` equal widths of |share true - mean probability|, weighted by how
    many fall there (Naeini, Cooper and Hauskrecht 2015, "Obtaining well calibrated probabilities using Bayesian
    binning"). The bins are scikit-learn's."""
    shares, means = calibration_curve(true, found, n_bins=bins)
    place = np.searchsorted(np.linspace(0, 1, bins + 1)[1:-1], found)
    sizes = np.bincount(place, minlength=bins)
    return float(np.abs(shares - means) @ sizes[sizes > 0] / len(found))
