"""Prints how well tags are guessed: python -m tests.bench.tagging [--weights] [LIBRARY]

LIBRARY is a built copy of the demo; without it, the demo is copied and built in a temporary folder. With --weights, it
prints the tables of `fightnotes/suggesting/default_weights.py` instead.

Measured on the demo, five-fold by bout, on tagged notes, against what they say (`tag_truth`); then, with the shipped
weights, on libraries that nothing was tuned on, against their tags.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from fightnotes.index.local_store import LocalStore
from fightnotes.index.store import Store
from fightnotes.suggesting.default_weights import default_weights, text_weights
from fightnotes.suggesting.model import Weights
from tests.bench.built import built_copy
from tests.bench.tag_calibration import DRAWS, calibration_over, guess_draws
from tests.bench.tag_folds import (
    LEAST,
    PARTS,
    Fold,
    Guess,
    Start,
    folds_of,
    guess_labels,
    guess_part,
    guess_shipped,
    guess_whole,
    judged_rows,
    measures,
    read_material,
    shipped,
)
from tests.bench.tag_hiding import SHARES, WAYS, hide, hide_bouts
from tests.bench.tag_truth import Truth, as_written, by_reading

DEMO = Path(__file__).parents[2] / "corpus_demo"
JUDGED = Path(__file__).parents[1] / "judged"
OTHERS = {JUDGED / "second": ("hakkelberg-tazzirani-2028",), JUDGED / "fields_further": ()}
"""Libraries that nothing was tuned on, with the bouts that are tagged whole; none: all."""
MOST_CALIBRATION_ERROR = 0.05
KNOWN = (0.0, 0.01, 0.05, 0.2, 1.0)
"""Shares of the tags."""


def report(store: Store) -> None:
    truth = by_reading(read_material(store))
    material = truth.written
    segments, concepts = len(material.segments), len(material.concepts.ids)
    unwritten = int(truth.complete.tags.sum() - material.tags.sum())
    print(
        f"{int(material.tagged.sum())} tagged segments of {segments}, {concepts} concepts, {unwritten} tags unwritten"
    )
    folds = folds_of(truth)
    print("\nbouts held back, by all tags of the others")
    rows = {f"{part} alone": measures(guess_part(truth, folds, kinds)) for part, kinds in PARTS.items()}
    rows["label matching"] = measures(guess_labels(truth, hide_bouts(material, np.arange(segments)), folds))
    whole = guess_whole(truth, material, folds, True)
    rows["the whole"] = measures(whole)
    _table(rows)
    print("\nreliability of the whole")
    _reliability(whole)
    _bars(rows)
    print("\nbouts held back, by the share of the others' tags that is known")
    known = {f"{share:.0%}": guess_whole(truth, hide(material, "random", 1 - share), folds, True) for share in KNOWN}
    _table({name: measures(guess) for name, guess in known.items()})
    _all_hiding(truth, folds)
    _over_draws(truth, folds)


def report_others() -> None:
    """By the shipped weights, bout by bout."""
    for library, bouts in OTHERS.items():
        with tempfile.TemporaryDirectory() as folder:
            truth = as_written(read_material(LocalStore(built_copy(library, Path(folder)))))
        material = truth.written
        of_bout = np.array([segment.bout for segment in material.segments])
        held = [np.flatnonzero(of_bout == bout) for bout in np.unique(of_bout) if bout in bouts or not bouts]
        folds = [Fold(rows, Start(text_weights(), default_weights())) for rows in held]
        print(f"\n{library.name}, {len(judged_rows(material, folds))} tagged notes")
        _all_hiding(truth, folds)
        _over_draws(truth, folds)


def _all_hiding(truth: Truth, folds: Sequence[Fold]) -> None:
    for new_bouts, title in ((True, "bouts held back, by what is left of the others' tags"), (False, "the same notes")):
        print(f"\n{title}, tags hidden in three ways: F1 of label matching, shipped weights, whole")
        for way in WAYS:
            for share in SHARES:
                _hiding(truth, way, share, folds, new_bouts)


def _hiding(truth: Truth, way: str, share: float, folds: Sequence[Fold], new_bouts: bool) -> None:
    part = hide(truth.written, way, share)
    base = hide_bouts(part, np.arange(len(part.segments))) if new_bouts else part
    labels = measures(guess_labels(truth, base, folds))["micro F1"]
    before = measures(guess_shipped(truth, part, folds, new_bouts))["micro F1"]
    whole = measures(guess_whole(truth, part, folds, new_bouts))
    error = whole[f"ECE p>={LEAST}"]
    above = whole["micro F1"] >= max(labels, before)
    print(
        f"{way:8} {share:4.0%}: {labels:.3f} {before:.3f} {whole['micro F1']:.3f} {'' if above else 'BELOW':5}"
        f"  precision {whole['precision']:.3f}, MAP {whole['MAP']:.3f}, calibration error {error:.3f}"
        f" {'' if error <= MOST_CALIBRATION_ERROR else 'ABOVE'}"
    )


def _over_draws(truth: Truth, folds: Sequence[Fold]) -> None:
    print(f"\nthe same notes, pairs from {LEAST} up in {DRAWS} draws")
    for way in WAYS:
        for share in SHARES:
            print(f"{way:8} {share:4.0%}: {calibration_over(guess_draws(truth, folds, way, share))}")


def _table(rows: dict[str, dict[str, float]]) -> None:
    names = list(next(iter(rows.values())))
    print(f"{'':20}" + "".join(f"{name:>13}" for name in names))
    for title, found in rows.items():
        print(f"{title:20}" + "".join(f"{found[name]:13.4g}" for name in names))


def _reliability(guess: Guess) -> None:
    pairs, true = guess.found[guess.counted], guess.true[guess.counted]
    for low in np.arange(10) / 10:
        inside = (pairs >= low) & (pairs < low + 0.1 + (low == 0.9))
        if inside.any():
            said, held = pairs[inside].mean(), true[inside].mean()
            print(f"  {low:.1f} to {low + 0.1:.1f}: {inside.sum():6} pairs, said {said:.3f}, true {held:.3f}")


def _bars(rows: dict[str, dict[str, float]]) -> None:
    whole = rows["the whole"]
    for name in ("micro F1", "macro F1", "MAP"):
        best = max(found[name] for title, found in rows.items() if title != "the whole")
        print(f"the whole beats each part in {name}: {'yes' if whole[name] > best else 'NO'}")
    met = whole["ECE"] <= MOST_CALIBRATION_ERROR
    print(f"calibration error at most {MOST_CALIBRATION_ERROR}: {'yes' if met else 'NO'}")


def print_weights(truth: Truth) -> None:
    start = shipped(truth, np.arange(len(truth.written.segments)))
    _print_table("TEXT", start.text)
    _print_table("WHOLE", start.whole)


def _print_table(name: str, weights: Weights) -> None:
    print(f"_{name}_BIAS = {weights.bias:.4f}\n_{name} = {{")
    for kind, *numbers in zip(weights.kinds, weights.centre, weights.scale, weights.weight, strict=True):
        print(f'    "{kind}": ({", ".join(f"{number:.4f}" for number in numbers)}),')
    print("}")


def main(words: list[str]) -> None:
    places = [word for word in words if not word.startswith("--")]
    with tempfile.TemporaryDirectory() as folder:
        demo = LocalStore(Path(places[0])) if places else LocalStore(built_copy(DEMO, Path(folder)))
        if "--weights" in words:
            print_weights(by_reading(read_material(demo)))
            return
        report(demo)
    report_others()


if __name__ == "__main__":
    main(sys.argv[1:])
