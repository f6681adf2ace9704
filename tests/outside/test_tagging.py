"""The tagger against scikit-learn and torchmetrics, and on word senses that others wrote.

- scikit-learn: logistic regression, tf-idf, kernel ridge regression, Brier score, F1, average precision, the
  reliability curve. torchmetrics: expected calibration error.
- WordNet 3.0 (Princeton University), as Debian's package wordnet-base has it: the glosses of fighting senses.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import torch
from sklearn.feature_extraction.text import TfidfVectorizer
from sklearn.kernel_ridge import KernelRidge
from sklearn.linear_model import LogisticRegression
from sklearn.metrics import brier_score_loss
from torchmetrics.classification import BinaryCalibrationError

from fightnotes.index.local_store import LocalStore
from fightnotes.index.store import Store
from fightnotes.model import Segment, Vocabulary
from fightnotes.suggesting.default_weights import text_weights
from fightnotes.suggesting.evidence import KINDS, training_evidence
from fightnotes.suggesting.examples import FADING, FIELD_SHARE, RIDGE, Examples
from fightnotes.suggesting.learn import one_given, training_set
from fightnotes.suggesting.material import Material, material_of
from fightnotes.suggesting.model import fit, start_weights
from fightnotes.suggesting.suggest import examples_of, learn_from, probabilities
from fightnotes.suggesting.taught import teacher
from fightnotes.suggesting.word_space import learn_words
from tests.bench.tag_calibration import calibration_over, seeds
from tests.bench.tag_folds import (
    PARTS,
    Fold,
    Guess,
    calibration_error,
    folds_of,
    guess_labels,
    guess_part,
    guess_whole,
    measures,
    read_material,
)
from tests.bench.tag_hiding import SEED, SHARES, WAYS, hide, hide_bouts
from tests.bench.tag_truth import Truth, by_reading

WORDNET = Path("/usr/share/wordnet")


@pytest.fixture(scope="module")
def material(demo: Path) -> Material:
    return read_material(LocalStore(demo))


@pytest.fixture(scope="module")
def truth(material: Material) -> Truth:
    return by_reading(material)


@pytest.fixture(scope="module")
def folds(truth: Truth) -> list[Fold]:
    return folds_of(truth)


@pytest.fixture(scope="module")
def whole(truth: Truth, folds: list[Fold]) -> Guess:
    return guess_whole(truth, truth.written, folds, True)


@pytest.fixture(scope="module")
def same_notes(truth: Truth, folds: list[Fold]) -> Callable[[str, float, int], Guess]:
    """What the notes lack of which tags are hidden, by way, share and seed."""
    return cache(lambda way, share, seed: guess_whole(truth, hide(truth.written, way, share, seed), folds, False))


def test_tf_idf_is_scikit_learns(material: Material) -> None:
    texts = [" ".join(one.done) for one in material.said]
    theirs = TfidfVectorizer(token_pattern=r"\S+", sublinear_tf=True, lowercase=False).fit(texts)
    ours = learn_words([text.split() for text in texts])
    order = [ours.column[stem] for stem in theirs.get_feature_names_out()]
    assert len(order) == len(ours.column)
    rows = ours.rows([text.split() for text in texts]).toarray()[:, order]
    np.testing.assert_allclose(rows, theirs.transform(texts).toarray(), atol=1e-6)


def test_regression_without_a_bout_is_scikit_learns_kernel_ridge_fitted_without_it(
    material: Material,
) -> None:
    rows, tagged = np.arange(len(material.segments)), np.flatnonzero(material.tagged)
    taught = teacher(material, text_weights())
    against = len(tagged) - int(material.tags.sum(axis=0).max())
    ridges = np.where(material.tagged, RIDGE, RIDGE * (1 + against / FADING))
    examples = Examples(material, rows, taught)
    for bout in np.unique(material.bouts)[:4]:
        asked = np.flatnonzero(material.bouts == bout)
        rest = rows[material.bouts != bout]
        expected = _ridge(material, rest, taught(rest), ridges[rest], asked)
        np.testing.assert_allclose(examples.predict_without_bout(asked), expected, atol=2e-4)


def test_regression_without_the_segment_itself_is_scikit_learns_fitted_without_it(material: Material) -> None:
    rows, tagged = np.arange(len(material.segments)), np.flatnonzero(material.tagged)
    taught = teacher(material, text_weights())
    against = len(tagged) - int(material.tags.sum(axis=0).max())
    ridges = np.where(material.tagged, RIDGE, RIDGE * (1 + against / FADING))
    asked = np.append(tagged[:3], np.flatnonzero(~material.tagged)[:2])
    judged = Examples(material, rows, taught).predict(asked)
    for place, row in enumerate(asked):
        rest = rows[rows != row]
        expected = _ridge(material, rest, taught(rest), ridges[rest], np.array([row]))
        np.testing.assert_allclose(judged[[place]], expected, atol=2e-4)


def _ridge(
    material: Material, rows: np.ndarray, taught: np.ndarray, ridges: np.ndarray, asked: np.ndarray
) -> np.ndarray:
    """A ridge of its own for each row is a weight of its own: those of one are divided by it."""
    theirs = KernelRidge(alpha=1.0, kernel="precomputed")
    theirs.fit(_kernel(material, rows, rows), taught, sample_weight=1 / ridges)
    return theirs.predict(_kernel(material, asked, rows))


def _kernel(material: Material, left: np.ndarray, right: np.ndarray) -> np.ndarray:
    dense = [
        material.words.toarray().astype(float),
        material.marks.toarray().astype(float) * FIELD_SHARE**0.5,
    ]
    features = np.hstack([np.ones((len(material.segments), 1)), material.vectors, *dense])
    return features[left] @ features[right].T


def test_probabilities_are_those_of_scikit_learns_logistic_regression(material: Material) -> None:
    """With nothing to be drawn to but zero; C is the inverse of the precision, and the bias, which scikit-learn does
    not draw in, is fed to it as evidence that is always 1."""
    rows = np.arange(len(material.segments))
    training = training_set(material, rows)
    given, _ = one_given(training, np.random.default_rng(1))
    evidence = training_evidence(material, training.rows, examples_of(material, rows, text_weights()), given)
    start = start_weights(evidence, KINDS)
    ours = fit(evidence, training.tagged, training.sample_weights, start, precision=2.0)
    used = training.sample_weights > 0
    scaled = np.stack(
        [(row[used] - c) / s for row, c, s in zip(evidence, start.centre, start.scale, strict=True)], axis=1
    )
    columns = np.column_stack([scaled, np.ones(len(scaled))])
    theirs = LogisticRegression(C=1 / 2.0, fit_intercept=False, tol=1e-9, max_iter=2000)
    theirs.fit(columns, training.tagged[used], sample_weight=training.sample_weights[used])
    np.testing.assert_allclose(np.append(ours.weight, ours.bias), theirs.coef_[0], atol=2e-3)
    np.testing.assert_allclose(ours.probabilities(evidence)[used], theirs.predict_proba(columns)[:, 1], atol=1e-3)


def test_calibration_error_is_torchmetrics(whole: Guess) -> None:
    pairs, true = whole.found[whole.counted].astype(float), whole.true[whole.counted]
    theirs = BinaryCalibrationError(n_bins=10, norm="l1")(torch.tensor(pairs), torch.tensor(true.astype(int)))
    assert calibration_error(true, pairs) == pytest.approx(float(theirs), abs=1e-4)


def test_probabilities_are_calibrated_and_say_more_than_how_often_a_tag_is_given(whole: Guess) -> None:
    found = measures(whole)
    assert found["ECE"] <= 0.05
    assert found["ECE p>=0.05"] <= 0.05
    true = whole.true[whole.counted]
    often = np.broadcast_to(whole.true.mean(axis=0), whole.true.shape)[whole.counted]
    assert found["Brier"] < 0.6 * brier_score_loss(true, often)


def test_the_whole_beats_each_part(truth: Truth, folds: list[Fold], whole: Guess) -> None:
    best = measures(whole)
    for part, kinds in PARTS.items():
        alone = measures(guess_part(truth, folds, kinds))
        for name in ("micro F1", "macro F1", "MAP"):
            assert best[name] > alone[name], f"{name} of {part} alone"


@pytest.mark.parametrize("way", WAYS)
def test_tags_left_out_do_not_teach_to_leave_them_out(way: str, truth: Truth, folds: list[Fold]) -> None:
    """Three in five of them, as analysts leave them out: bouts without a tag are still tagged with a calibrated
    probability."""
    part = hide(truth.written, way, 0.6)
    bare = hide_bouts(part, np.arange(len(part.segments)))
    new = measures(guess_whole(truth, part, folds, True))
    assert new["ECE p>=0.05"] <= 0.05
    assert new["micro F1"] > measures(guess_labels(truth, bare, folds))["micro F1"]


@pytest.mark.parametrize("share", SHARES)
@pytest.mark.parametrize("way", WAYS)
def test_what_tagged_notes_lack_is_found_better_than_by_labels(
    way: str, share: float, truth: Truth, folds: list[Fold], same_notes: Callable[[str, float, int], Guess]
) -> None:
    by_labels = measures(guess_labels(truth, hide(truth.written, way, share), folds))
    assert measures(same_notes(way, share, SEED))["micro F1"] > by_labels["micro F1"]


@pytest.mark.parametrize("share", SHARES)
@pytest.mark.parametrize("way", WAYS)
def test_what_tagged_notes_lack_has_calibrated_probabilities(
    way: str, share: float, same_notes: Callable[[str, float, int], Guess]
) -> None:
    """Over several draws, as which of the tags are hidden moves the error of one by 0.02. Where the obvious is hidden
    the pairs are so few that right probabilities, too, may show more than 0.05."""
    found = calibration_over([same_notes(way, share, seed) for seed in seeds(share, 3)])
    assert found.error <= 0.05


@pytest.mark.parametrize("known", [0.0, 0.01, 0.05, 0.2])
def test_probabilities_are_calibrated_with_few_tags(known: float, truth: Truth, folds: list[Fold]) -> None:
    found = measures(guess_whole(truth, hide(truth.written, "random", 1 - known), folds, True))
    assert found["ECE p>=0.05"] <= 0.05


SENSES = {
    "noun 00135952": "jab", "verb 01230573": "jab",
    "noun 00135799": "lead-hook body-hook",  # hook
    "noun 01175195": "uppercut",
    "noun 00134780": "punches", "verb 01415303": "punches",  # punch
    "noun 00135504": "counters",  # counter
    "noun 01174495": "parry", "verb 01147078": "parry",
    "noun 00172073": "feints-and-baits", "verb 01722317": "feints-and-baits",  # feint
    "noun 00059728": "clinch", "verb 01573161": "clinch",
    "noun 00059895": "slip roll-under", "verb 02096512": "slip roll-under",  # dodge
    "verb 01865221": "slip roll-under",  # duck
    "noun 05082222": "guard-positions",  # guard
    "noun 07471514": "takedowns",
    "noun 00565219": "footwork",
    "noun 00286360": "footwork",  # sidestep
    "noun 00136329": "kicks", "verb 01370579": "kicks",
}  # fmt: skip
"""Synsets with a sense of this trade -> the concepts of the demo's vocabulary that it is, or is above. Slip, sprawl,
pivot, cross and frame have no such sense in WordNet."""


def _glosses() -> dict[str, str]:
    """Each synset's definition without its field in parentheses and its examples."""
    found = {}
    for part in ("noun", "verb"):
        for line in (WORDNET / f"data.{part}").read_text(encoding="latin-1").splitlines():
            key = f"{part} {line[:8]}"
            if key in SENSES:
                gloss = line.partition(" | ")[2]
                found[key] = re.sub(r"^\(\w+\) ", "", re.split(r'[;:] "', gloss)[0]).strip()
    return found


@pytest.mark.skipif(not WORDNET.is_dir(), reason="Debian's wordnet-base is not installed")
def test_definitions_alone_tell_the_senses_that_wordnet_describes(
    demo: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No tags and no labels: words of the right concept's labels are taken out of its gloss. Once among the concepts
    that the glosses are of, once among the demo's whole vocabulary, where a narrower concept of the right one counts as
    right, as the vocabulary says that the one stands for the other."""
    store = LocalStore(demo)
    whole = store.vocabulary
    named = dict.fromkeys(one for expected in SENSES.values() for one in expected.split())
    few = Vocabulary(concepts=tuple(whole.by_id[one].model_copy(update={"broader": ()}) for one in named))
    for title, vocabulary, least in (
        ("the senses' own concepts", few, 4),
        ("the whole vocabulary", whole, 4),
    ):
        right = {key: {n for one in SENSES[key].split() for n in vocabulary.with_narrower(one)} for key in SENSES}
        texts = {key: _without_labels(gloss, right[key], vocabulary) for key, gloss in _glosses().items()}
        ranked = _ranked(texts, vocabulary, store)
        first = {key: min(ranked[key].index(one) for one in right[key]) for key in SENSES}
        hits = sum(place == 0 for place in first.values()) / len(SENSES)
        chance = sum(len(concepts) for concepts in right.values()) / len(vocabulary.concepts) / len(SENSES)
        with capsys.disabled():
            print(f"\namong {title}: {hits:.0%} of {len(SENSES)} senses right at once, chance {chance:.0%}")
            for key, text in texts.items():
                print(f"  {'right' if first[key] == 0 else 'wrong'} {ranked[key][0]:18} for {SENSES[key]:20} {text}")
        assert hits > least * chance


def _without_labels(gloss: str, concepts: set[str], vocabulary: Vocabulary) -> str:
    labels = [label for one in concepts for label, _ in vocabulary.by_id[one].labels()]
    longest_first = sorted(map(re.escape, labels), key=len, reverse=True)
    return " ".join(re.sub(rf"\b(?:{'|'.join(longest_first)})\b", " ", gloss, flags=re.IGNORECASE).split())


def _ranked(texts: dict[str, str], vocabulary: Vocabulary, store: Store) -> dict[str, list[str]]:
    """For each text, all concepts, the likeliest first; learned from nothing."""
    ids, vectors = store.concept_vectors
    kept = [place for place, one in enumerate(ids) if one in vocabulary.by_id]
    segments = [
        Segment(bout="w", file="w.md", line=line, last_line=line, kind="note", text=text, written_time="0:01")
        for line, text in enumerate(texts.values(), 1)
    ]
    encoded = store.encoder.encode(list(texts.values()))
    made = material_of(segments, encoded, vocabulary, [ids[place] for place in kept], vectors[kept])
    rows = np.arange(len(segments))
    found, _ = probabilities(made, rows, *learn_from(made, rows))
    order = np.argsort(-found, axis=1, kind="stable")
    return {key: [made.concepts.ids[place] for place in order[row]] for row, key in enumerate(texts)}
