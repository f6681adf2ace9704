"""Learning to tag from a library's own tags: which pairs of segment and concept teach what, and whether that helps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.sparse import csr_array

from fightnotes.suggesting.evidence import KINDS, near_tag, training_evidence
from fightnotes.suggesting.examples import Examples, Matrix
from fightnotes.suggesting.material import Flags, Material, Numbers
from fightnotes.suggesting.model import THRESHOLD, Doubles, Weights, fit

MOST_FITTED = 1000
"""Segments that the weights are fitted on; of more, those of a fixed sample of bouts."""
NOTHING_TO_TAG = 0.1
"""The largest share of timed notes that is taken to hold nothing to tag, however few of them an analyst tags."""
FEWEST_NOTES = 20
"""An analyst with fewer timed notes does not show what share holds nothing to tag."""
FEWEST_TAGGED = 100
"""With fewer tagged segments, a library keeps the weights that it begins with."""
BEGUN = 0.1
"""What a segment with one tag given counts beside itself without: enough to learn how tags go together, too little to
move what is thought of segments without."""
FOLDS = 5
"""Parts of the bouts that take turns in judging the library's own weights."""
_SEED = 20310308


@dataclass(frozen=True)
class TrainingSet:
    """Pairs of segments (rows of a material) and concepts."""

    rows: Numbers
    tagged: Flags
    """Shape (rows, concepts)."""
    sample_weights: Matrix
    """How much each pair counts, 0 to 1, shape (rows, concepts)."""


def training_set(material: Material, rows: Numbers) -> TrainingSet:
    """What the notes among `rows` teach.

    A tagged segment counts whole, but for the concepts above its tags, which its tags cover. Analysts leave out tags:
    an untagged note counts only for the chance that there is nothing in it to tag. That share is taken from the
    analyst who tags the most fully, and is the same for all.
    """
    notes = rows[[material.segments[row].kind == "note" and material.segments[row].timed for row in rows]]
    teaching = np.union1d(notes, rows[material.tagged[rows]])
    worth = _worth_of_untagged(material, notes)
    teaching = _whole_bouts(material, teaching)
    tags = material.tags[teaching]
    sample_weights = np.where((tags @ material.concepts.above).toarray() > 0, 0.0, 1.0)
    tagged = tags.toarray() > 0
    sample_weights[tagged] = 1.0
    for place, row in enumerate(teaching):
        if not material.tagged[row]:
            sample_weights[place] *= worth[material.segments[row].analyst]
    return TrainingSet(teaching, tagged, sample_weights.astype(np.float32))


def _whole_bouts(material: Material, rows: Numbers) -> Numbers:
    """Of too many rows those of some bouts, as each bout costs a solution of its own."""
    if len(rows) <= MOST_FITTED:
        return rows
    bouts, sizes = np.unique(material.bouts[rows], return_counts=True)
    order = np.random.default_rng(_SEED).permutation(len(bouts))
    kept = bouts[order[: max(int(np.searchsorted(sizes[order].cumsum(), MOST_FITTED, side="right")), 1)]]
    return rows[np.isin(material.bouts[rows], kept)]


def _worth_of_untagged(material: Material, notes: Numbers) -> dict[str | None, float]:
    """By analyst, what an untagged note of theirs counts, so that such notes together are to their tagged ones as notes
    with nothing to tag are to the others."""
    counts: dict[str | None, list[int]] = {}
    for row in notes:
        counts.setdefault(material.segments[row].analyst, [0, 0])[int(material.tagged[row])] += 1
    shown = [
        untagged / (untagged + tagged) for untagged, tagged in counts.values() if untagged + tagged >= FEWEST_NOTES
    ]
    nothing = min([NOTHING_TO_TAG, *shown])
    odds = nothing / (1 - nothing)
    return {analyst: min(1.0, odds * tagged / max(untagged, 1)) for analyst, (untagged, tagged) in counts.items()}


def learn_weights(material: Material, rows: Numbers, examples: Examples, start: Weights) -> Weights:
    """The library's own weights where they beat `start` in guessing its bouts' tags, each by the other bouts; else, and
    where too little is tagged, `start`.

    A label that is said and not tagged is no negative: it is taught as `start` has it, and judges nothing.
    """
    training = training_set(material, rows)
    if training.tagged.any(axis=1).sum() < FEWEST_TAGGED or len(np.unique(material.bouts[training.rows])) < FOLDS:
        return start
    evidence, counts = _begun(material, training_evidence(material, training.rows, examples), training)
    bouts, tagged = np.tile(material.bouts[training.rows], 2), np.tile(training.tagged, (2, 1))
    before = start.probabilities(evidence)
    unlabelled = (evidence[KINDS.index("label")] > 0) & ~tagged
    wanted = np.where(unlabelled, before, tagged)
    after = np.empty_like(before)
    for part in np.array_split(np.random.default_rng(_SEED).permutation(np.unique(bouts)), FOLDS):
        held = np.isin(bouts, part)
        weights = fit(evidence[:, ~held], wanted[~held], counts[~held], start)
        after[held] = weights.probabilities(evidence[:, held])
    judging = (counts == 1) & ~unlabelled
    gains = _goodness(after, tagged, judging, bouts) - _goodness(before, tagged, judging, bouts)
    if gains.mean() <= 2 * gains.std() / np.sqrt(len(gains)):  # two standard errors
        return start
    return fit(evidence, wanted, counts, start)


def _begun(material: Material, evidence: Matrix, training: TrainingSet) -> tuple[Matrix, Matrix]:
    """The evidence and what each pair counts: each segment once as one without tags, and once as one that somebody has
    begun to tag."""
    given, rest = one_given(training, np.random.default_rng(_SEED))
    twice = np.tile(evidence, (1, 2, 1))
    twice[KINDS.index("near_tag"), len(training.rows) :] = near_tag(material, training.rows, given)
    return twice, np.concatenate([training.sample_weights, rest])


def one_given(training: TrainingSet, random: np.random.Generator) -> tuple[csr_array, Matrix]:
    """One tag of each segment, as if it were all that is there, shape (rows, concepts), and what the other pairs count.

    A segment with more tags is more often met with one of them, and counts as many times.
    """
    some = np.flatnonzero(training.tagged.any(axis=1))
    picked = np.where(training.tagged[some], random.random((len(some), training.tagged.shape[1])), -1).argmax(axis=1)
    given = csr_array((np.ones(len(some), np.float32), (some, picked)), shape=training.tagged.shape)
    rest: Matrix = training.sample_weights * training.tagged.sum(axis=1, keepdims=True) * np.float32(BEGUN)
    rest[some, picked] = 0
    return given, rest


def _goodness(found: Matrix, tagged: Flags, counted: Flags, bouts: Numbers) -> Doubles:
    """By bout with tags: recall squared over the share of pairs chosen, which goes with precision times recall and
    needs no negatives (Lee and Liu 2003, "Learning with positive and unlabeled examples using weighted logistic
    regression"). Odds that are low because tags are left out do not gain by it, as they would by likelihood."""
    chosen: Flags = found >= THRESHOLD
    values = []
    for bout in np.unique(bouts):
        at = np.flatnonzero(((bouts == bout)[:, None] & counted).ravel())
        mine, true = chosen.ravel()[at], tagged.ravel()[at]
        if true.any():
            values.append(mine[true].mean() ** 2 / max(mine.mean(), 1 / len(at)))
    return np.array(values, dtype=np.float64)
