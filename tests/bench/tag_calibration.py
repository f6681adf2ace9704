"""How far off the probabilities of hidden tags are, apart from chance and from what the demo's own tags lack.

Which tags are hidden is drawn several times over, and the pairs of all draws are judged together. In those draws a pair
either holds or does not: chance is what it would be if each held with the probability that is said, in all its draws or
in none.

Two things the demo's tags cannot tell. Of pairs that the way of hiding never hides (`may_hide`) none is true by them,
whatever the note says: they are told apart. And of what its analysts left out themselves, the pairs were read by hand:
`demo_unwritten.yaml`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from ruamel.yaml import YAML

from fightnotes.suggesting.material import Flags, Material, Numbers
from tests.bench.tag_folds import LEAST, Fold, Guess, calibration_error, guess_whole
from tests.bench.tag_hiding import SEED, hide

DRAWS = 10
_SIMULATED = 200
_BY_CHANCE = 0.95
_READ = Path(__file__).with_name("demo_unwritten.yaml")
_HOLDS = {"yes": 1.0, "unsure": 0.5, "no": 0.0}


@dataclass(frozen=True)
class Calibration:
    """Of the pairs from LEAST up."""

    pairs: float
    """In each draw."""
    error: float
    """The expected calibration error."""
    chance: float
    """The error that right probabilities of these pairs exceed in one of twenty."""
    said: float
    """The mean probability."""
    true: float
    """The share of the pairs that is true."""

    def __str__(self) -> str:
        return (
            f"{self.pairs:5.0f} pairs, said {self.said:.3f}, true {self.true:.3f},"
            f" error {self.error:.3f}, right ones up to {self.chance:.3f}"
        )


@dataclass(frozen=True)
class Read:
    """Pairs that the demo's tags lack, as read by hand, shape (rows of a guess, concepts)."""

    asked: Flags
    holds: np.ndarray
    """1 where the note says it, 0.5 where the words leave it open, 0 where it does not."""


def guess_draws(material: Material, folds: Sequence[Fold], way: str, share: float, draws: int = DRAWS) -> list[Guess]:
    """The same notes, with other tags hidden in each; all hidden leave nothing to be drawn."""
    seeds = range(SEED, SEED + (draws if share < 1 else 1))
    return [guess_whole(material, hide(material, way, share, seed), folds, False) for seed in seeds]


def among(guesses: Sequence[Guess], pairs: Flags) -> list[Guess]:
    """With these pairs alone counted."""
    return [replace(guess, counted=guess.counted & pairs) for guess in guesses]


def calibration_over(guesses: Sequence[Guess]) -> Calibration:
    judged = [guess.counted & (guess.found >= LEAST) for guess in guesses]
    found = np.concatenate([guess.found[one] for guess, one in zip(guesses, judged, strict=True)]).astype(np.float64)
    true = np.concatenate([guess.true[one] for guess, one in zip(guesses, judged, strict=True)])
    pair = np.concatenate([np.flatnonzero(one) for one in judged])
    random = np.random.default_rng(SEED)
    size = guesses[0].found.size
    by_chance = [calibration_error(random.random(size)[pair] < found, found) for _ in range(_SIMULATED)]
    return Calibration(
        len(found) / len(guesses),
        calibration_error(true, found),
        float(np.quantile(by_chance, _BY_CHANCE)),
        float(found.sum() / max(len(found), 1)),
        float(true.sum() / max(len(true), 1)),
    )


def read_by_hand(material: Material, rows: Numbers) -> Read:
    place = {(material.segments[row].file, material.segments[row].line): number for number, row in enumerate(rows)}
    shape = (len(rows), len(material.concepts.ids))
    read = Read(np.zeros(shape, dtype=np.bool_), np.zeros(shape))
    for file, pairs in YAML(typ="safe").load(_READ.read_text(encoding="utf-8")).items():
        for line, concept, holds in pairs:
            at = place[file, line], material.concepts.column[concept]
            read.asked[at], read.holds[at] = True, _HOLDS[holds]
    return read


def lacking(guesses: Sequence[Guess], read: Read, kind: Flags) -> tuple[np.ndarray, np.ndarray]:
    """Probabilities of the pairs from LEAST up of this kind that were read, and whether they hold."""
    asked = [read.asked & kind & guess.counted & (guess.found >= LEAST) for guess in guesses]
    found = [guess.found[pairs] for guess, pairs in zip(guesses, asked, strict=True)]
    return np.concatenate(found), np.concatenate([read.holds[pairs] for pairs in asked])
