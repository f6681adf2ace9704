"""What is claimed of numbers, and how a sentence begins."""

from __future__ import annotations

FEWEST = 5
"""Acts, or acts with an outcome, below which nothing is claimed of them: common practice, no source. Trends and
comparisons have limits of their own (`tally/trend`, `tally/difference`)."""


def begun(text: str) -> str:
    """As a sentence begins."""
    return text[:1].upper() + text[1:]
