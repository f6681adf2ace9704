"""The small tables that benches print."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median
from time import perf_counter


@dataclass(frozen=True)
class Row:
    what: str
    ours: float
    reference: float
    bar: float
    """What the ratio of the two must reach."""
    at_most: bool
    """Whether the bar is the most that the ratio may be, and not the least."""
    unit: str

    @property
    def ratio(self) -> float:
        return self.ours / self.reference

    @property
    def held(self) -> bool:
        return self.ratio <= self.bar if self.at_most else self.ratio >= self.bar


def print_rows(rows: list[Row]) -> None:
    print(f"{'':44}{'ours':>12}{'reference':>12}{'':>6}{'ratio':>9}{'bar':>11}")
    for row in rows:
        sign = "<=" if row.at_most else ">="
        print(
            f"{row.what:44}{row.ours:12.3f}{row.reference:12.3f}{row.unit:>6}{row.ratio:9.3f}"
            f"{sign:>5} {row.bar:5.3f}{'' if row.held else '  missed'}"
        )


def timed(call: Callable[[], object]) -> float:
    """Seconds that a call takes."""
    begun = perf_counter()
    call()
    return perf_counter() - begun


def alternating(ours: Callable[[], object], reference: Callable[[], object], times: int) -> tuple[float, float]:
    """Median seconds of each, run by turns so that a busy machine burdens both."""
    pairs = [(timed(ours), timed(reference)) for _ in range(times)]
    return median(first for first, _ in pairs), median(second for _, second in pairs)


def print_reliability(told: Sequence[tuple[float, bool]], steps: Sequence[float]) -> None:
    """How often answers are right by what was said of them, `told` as probability and whether it is right."""
    error = 0.0
    for low, high in pairwise(steps):
        inside = [each for each in told if low <= each[0] < high]
        if inside:
            said = sum(probability for probability, _ in inside) / len(inside)
            right = sum(right for _, right in inside) / len(inside)
            error += abs(said - right) * len(inside) / len(told)
            print(f"  {low:.2f} up: {len(inside):4} answers, said {said:.2f}, right {right:.2f}")
    print(f"  calibration error {error:.3f}")
