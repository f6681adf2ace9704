"""Prints how well the demo's tags are guessed, five-fold by bout: python -m tests.bench.tagging [--weights] [LIBRARY]

LIBRARY is a built copy of the demo; without it, the demo is copied and built in a temporary folder. With --weights, it
prints the table of `fightnotes/suggesting/default_weights.py` instead.

Measured on tagged notes of the bouts held back. Analysts leave tags out, so that a suggestion which the note lacks is
not always wrong: precision and calibration are lower bounds in that sense.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

import numpy as np

from fightnotes.index.build import build
from fightnotes.index.store import Store
from fightnotes.suggesting.material import Material
from tests.bench.tag_folds import (
    PARTS,
    SHARES,
    Guess,
    folds_of,
    guess_part,
    guess_whole,
    measures,
    read_material,
    shipped_weights,
    starting_weights,
)

DEMO = Path(__file__).parents[2] / "corpus_demo"
MOST_CALIBRATION_ERROR = 0.05


def report(store: Store) -> None:
    material = read_material(store)
    segments, concepts = len(material.segments), len(material.concepts.ids)
    print(f"{int(material.tagged.sum())} tagged segments of {segments}, {concepts} concepts")
    start = starting_weights(material)
    curve = {share: folds_of(material, share) for share in SHARES}
    rows = {f"{part} alone": measures(guess_part(material, curve[1.0], kinds)) for part, kinds in PARTS.items()}
    whole = guess_whole(material, curve[1.0], start)
    rows["the whole"] = measures(whole)
    _table(rows)
    print("\nthe whole, by the share of tags that is known")
    _table({f"{share:.0%}": measures(guess_whole(material, curve[share], start)) for share in SHARES})
    print("\nreliability of the whole")
    _reliability(whole)
    _bars(rows)


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


def print_weights(material: Material) -> None:
    weights = shipped_weights(material, np.arange(len(material.segments)))
    print(f"_BIAS = {weights.bias:.4f}\n_TABLE = {{")
    for kind, *numbers in zip(weights.kinds, weights.centre, weights.scale, weights.weight, strict=True):
        print(f'    "{kind}": ({", ".join(f"{number:.4f}" for number in numbers)}),')
    print("}")


def main(words: list[str]) -> None:
    act = (lambda store: print_weights(read_material(store))) if "--weights" in words else report
    places = [word for word in words if not word.startswith("--")]
    if places:
        act(Store(Path(places[0])))
        return
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "corpus_demo"
        shutil.copytree(DEMO, copy, ignore=shutil.ignore_patterns(".fightnotes"))
        build(copy)
        act(Store(copy))


if __name__ == "__main__":
    main(sys.argv[1:])
