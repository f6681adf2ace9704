"""What a person may choose of a reel."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Literal

from fightnotes.clock import ClockError, parse_rate
from fightnotes.errors import UsageError
from fightnotes.model import Record

Quality = Literal["draft", "standard", "high"]
ENCODINGS: dict[Quality, tuple[str, ...]] = {
    "draft": ("-c:v", "libx264", "-preset", "veryfast", "-crf", "28", "-pix_fmt", "yuv420p"),
    "standard": ("-c:v", "libx264", "-preset", "medium", "-crf", "18", "-pix_fmt", "yuv420p"),
    "high": ("-c:v", "libx264", "-preset", "slow", "-crf", "12", "-pix_fmt", "yuv420p"),
}
"""Arguments for the encoder of each."""
_SIZE = re.compile(r"(\d{2,4})x(\d{2,4})")
_SMALLEST, _GREATEST = 16, 8192
"""Pixels along one side."""


class ReelForm(Record):
    """None stands for what fills most of the reel."""

    size: tuple[int, int] | None = None
    """Width and height in square pixels, even."""
    rate: Fraction | None = None
    """Frames a second."""
    quality: Quality = "standard"


def reel_form(size: str | None = None, rate: str | None = None, quality: Quality = "standard") -> ReelForm:
    """As a person writes it: `1280x720`, and `25` or `30000/1001`. Raises UsageError."""
    return ReelForm(
        size=None if size is None else _size(size), rate=None if rate is None else _rate(rate), quality=quality
    )


def _size(written: str) -> tuple[int, int]:
    match = _SIZE.fullmatch(written)
    sides = (int(match.group(1)), int(match.group(2))) if match else (0, 0)
    if any(side % 2 or not _SMALLEST <= side <= _GREATEST for side in sides):
        raise UsageError(f"{written}: a size is written such as 1280x720, even and {_SMALLEST} to {_GREATEST} a side")
    return sides


def _rate(written: str) -> Fraction:
    try:
        return parse_rate(written)
    except ClockError as error:
        raise UsageError(f"{error.found}: expected {error.expected}") from error
