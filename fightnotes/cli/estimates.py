"""Numbers with their intervals, as a person reads them and as CSV has them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from fightnotes.cli.layout import whole, with_whole

if TYPE_CHECKING:
    from fightnotes.tally.estimate import Estimate
    from fightnotes.tally.figures import Figures

NOTHING = "-"
"""Where nobody looked, or nothing is known."""


def estimate(value: Estimate | None) -> str:
    """`0.78 (0.46-1.2)`"""
    return NOTHING if value is None else whole(str(value))


def share(figures: Figures) -> str:
    """`9 of 14: 64 % (39-84 %)`, and how many came off in part."""
    if figures.success is None:
        return NOTHING
    return with_whole(
        figures.success_said, (f"{figures.succeeded} of {figures.with_outcome}:", figures.success.percent)
    )


def known(text: str) -> str:
    """What is known, in one piece."""
    return whole(text) or NOTHING


ESTIMATE_ENDS = ("", "_low", "_high")


def flat_estimates(row: dict[str, Any], keys: Iterable[str]) -> dict[str, Any]:
    """A row of JSON with each estimate as three columns: `key`, `key_low`, `key_high`."""
    flat = dict(row)
    for key in keys:
        told = flat.pop(key) or {"value": None, "low": None, "high": None}
        flat |= {f"{key}{end}": each for end, each in zip(ESTIMATE_ENDS, told.values(), strict=True)}
    return flat


def flat_columns(columns: Iterable[str], estimates: Iterable[str]) -> tuple[str, ...]:
    """Columns of which these are estimates."""
    of = set(estimates)
    return tuple(f"{column}{end}" for column in columns for end in (ESTIMATE_ENDS if column in of else ("",)))
