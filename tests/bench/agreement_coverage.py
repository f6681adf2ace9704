"""How often the interval of a concept's kappa holds the true kappa, in simulated libraries of two analysts.

    python -m tests.bench.agreement_coverage [--libraries 400]

In each bout a concept is there as often, and each analyst sees it as surely, as beta distributions say: bouts differ.
The true kappa is that of 200,000 bouts. Beside our interval stands the one that draws moments and not bouts.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np

from fightnotes.audit.agreement.coefficients import Floats, cohen_kappa
from fightnotes.audit.agreement.interval import FEWEST, FEWEST_BOUTS, RESAMPLES, estimate, resample

PAIRS = (10, 30)
"""The fewest and the most moments that both noted in a bout."""


@dataclass(frozen=True)
class Concept:
    name: str
    there: float
    """Share of moments in which it is."""
    seen: float
    """Chance that an analyst tags it there, and elsewhere."""
    imagined: float
    alike: float
    """How alike bouts are: the beta distributions' two parameters together."""


CONCEPTS = (
    Concept("common", 0.3, 0.8, 0.05, 8),
    Concept("usual", 0.15, 0.75, 0.03, 8),
    Concept("rare", 0.06, 0.7, 0.02, 8),
    Concept("usual, bouts alike", 0.15, 0.75, 0.03, 60),
    Concept("usual, bouts unlike", 0.15, 0.75, 0.03, 3),
)
BOUTS = (5, 6, 8, 10, 15, 20, 40)


def tables(concept: Concept, bouts: int, rng: np.random.Generator) -> Floats:
    """(bouts, 4): moments in which neither, the second, the first and both analysts tag the concept."""

    def drawn(mean: float) -> Floats:
        return rng.beta(mean * concept.alike, (1 - mean) * concept.alike, size=bouts)

    there, seen, imagined = drawn(concept.there), drawn(concept.seen), drawn(concept.imagined)
    both = there * seen**2 + (1 - there) * imagined**2
    one = there * seen * (1 - seen) + (1 - there) * imagined * (1 - imagined)
    pairs = rng.integers(PAIRS[0], PAIRS[1] + 1, size=bouts)
    return rng.multinomial(pairs, np.stack([1 - both - 2 * one, one, one, both], axis=1)).astype(np.float64)


def kappa(cells: Floats, weights: Floats) -> Floats:
    return cohen_kappa((weights @ cells).reshape(-1, 2, 2))


def coverage(concept: Concept, bouts: int, libraries: int, seed: int = 0) -> tuple[int, float, float]:
    """In how many libraries an interval is given, and the share of those in which it holds the true kappa: ours, and
    one that draws moments."""
    rng = np.random.default_rng(seed)
    true = float(kappa(tables(concept, 200_000, rng), np.ones((1, 200_000)))[0])
    ours, by_moments = [], []
    for _ in range(libraries):
        counted = tables(concept, bouts, rng)
        if counted[:, 1:].sum() < FEWEST:
            continue
        cells = np.repeat(np.tile(np.eye(4), (bouts, 1)), counted.astype(int).ravel(), axis=0)
        of = np.repeat([str(bout) for bout in range(bouts)], counted.sum(axis=1).astype(int))
        found = estimate(partial(kappa, cells), resample(of.tolist()), "pairs")
        if found.low is not None and found.high is not None:
            ours.append(found.low <= true <= found.high)
            total = counted.sum(axis=0)
            values = kappa(np.eye(4), rng.multinomial(int(total.sum()), total / total.sum(), size=RESAMPLES))
            low, high = np.nanquantile(values, (0.025, 0.975))
            by_moments.append(low <= true <= high)
    return len(ours), float(np.mean(ours)), float(np.mean(by_moments))


def _rows(libraries: int) -> Iterator[str]:
    yield f"{'concept':22}{'bouts':>6}{'given':>8}{'by bouts':>10}{'by moments':>12}   of 0.95"
    for concept in CONCEPTS:
        for bouts in (number for number in BOUTS if number >= FEWEST_BOUTS):
            given, ours, by_moments = coverage(concept, bouts, libraries)
            yield f"{concept.name:22}{bouts:6}{given:8}{ours:10.2f}{by_moments:12.2f}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--libraries", type=int, default=400)
    for row in _rows(parser.parse_args().libraries):
        print(row, flush=True)


if __name__ == "__main__":
    main()
