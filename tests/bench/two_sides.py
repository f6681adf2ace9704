"""How often two sides that do not differ are called different, by how many bouts each has and how much these differ.

    python -m tests.bench.two_sides [--runs 400]

Each side has bouts of six rounds (one bout: more is counted in it). Rates of bouts, and of rounds, are gamma, shares of
success beta distributed, with the variance that is printed (of a mean of 1); both sides are drawn from the same.
"""

from __future__ import annotations

import argparse

import numpy as np

from fightnotes.tally.difference import Difference, Side, difference_of_rates, difference_of_successes
from fightnotes.tally.strata import Floats
from fightnotes.tally.trend import LEVEL

_ROUNDS = 6


def drawn(chance: np.random.Generator, bouts: int, bouts_vary: float, rounds_vary: float) -> tuple[Side, Side]:
    """A side's acts a round, and its successes of them."""
    mean = 2.0 if bouts == 1 else 0.8
    rates = np.repeat(mean * _varied(chance, bouts, bouts_vary), _ROUNDS)
    counts = chance.poisson(rates * _varied(chance, bouts * _ROUNDS, rounds_vary)).astype(np.float64)
    bout = np.repeat(np.arange(bouts, dtype=np.intp), _ROUNDS)
    shares = chance.beta(2 / bouts_vary, 2 / bouts_vary, bouts) if bouts_vary else np.full(bouts, 0.5)
    done = chance.binomial(counts.astype(np.int64), np.repeat(shares, _ROUNDS)).astype(np.float64)
    some = counts > 0
    return Side(counts, np.ones(len(counts)), bout), Side(done[some], counts[some], bout[some])


def _varied(chance: np.random.Generator, count: int, variance: float) -> Floats:
    return chance.gamma(1 / variance, variance, count) if variance else np.ones(count)


def called(found: list[Difference]) -> str:
    judged = [each.p_value for each in found if each.p_value is not None]
    return f"{sum(value < LEVEL for value in judged) / max(len(judged), 1):9.3f}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=400)
    runs = parser.parse_args().runs
    chance = np.random.default_rng(5)
    print(f"{'bouts a side':14}{'bouts vary':>12}{'rounds vary':>13}{'rates':>9}{'shares':>9}")
    for bouts in (1, 3, 4, 8, 20):
        for bouts_vary in (0.0, 0.3):
            for rounds_vary in (0.0, 0.5):
                pairs = [[drawn(chance, bouts, bouts_vary, rounds_vary) for _ in range(2)] for _ in range(runs)]
                rates = [difference_of_rates(one[0], other[0]) for one, other in pairs]
                shares = [difference_of_successes(one[1], other[1]) for one, other in pairs]
                print(f"{bouts:<14}{bouts_vary:12.1f}{rounds_vary:13.1f}{called(rates)}{called(shares)}")


if __name__ == "__main__":
    main()
