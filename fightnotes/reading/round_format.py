"""How the rounds of a bout are timed, as front matter and `library.yaml` say it."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Literal

from fightnotes.clock import RoundFormat, parse_media_time
from fightnotes.reading.placed_yaml import Item, Reporter, mapping_of, parsed
from fightnotes.reading.values import round_of

_KEYS = ("count", "length", "rest", "clock", "times")
_SHORT = re.compile(
    r"(?P<count>[0-9]{1,3})(?:\s*(?:rounds?|rds?))?(?:\s*(?:x|×|\*|of)\s*(?P<length>[0-9]{1,2}(?::[0-5][0-9])?)"
    r"(?:\s*(?:m|mins?|minutes?)\.?)?(?:\s*rounds?)?)?",
    re.IGNORECASE,
)
_LONGEST_IN_MINUTES = 20


def rounds_from(item: Item | None, default: RoundFormat | None, reporter: Reporter) -> RoundFormat | None:
    """How rounds are timed. What `item` does not say is as in `default`, and where there is none, three
    minutes, one of rest and a clock that runs down. `6` and `10 x 3:00` say count and length."""
    if item is None:
        return default
    base = default or RoundFormat(None, Fraction(180), Fraction(60), "down")
    if item.text is not None:
        return _from_short(item, item.text.strip(), base, reporter) or default
    if item.entries is None:
        reporter.of(item, f"a mapping with {', '.join(_KEYS)}, or such as 10 x 3:00")
        return default
    found = mapping_of(item, _KEYS, reporter)
    count = parsed(found.get("count"), round_of, "a whole number of rounds from 1 to 999", reporter)
    length = parsed(found.get("length"), parse_media_time, "a length such as 3:00", reporter)
    if length == 0:
        reporter.of(found["length"], "a length above 0:00")
    rest = parsed(found.get("rest"), parse_media_time, "a length such as 1:00", reporter)
    clock = parsed(found.get("clock"), _direction, "down or up", reporter)
    times = parsed(found.get("times"), _counted, "footage or clock", reporter)
    return RoundFormat(
        count=count or base.count,
        length=length or base.length,
        rest=base.rest if rest is None else rest,
        clock=clock or base.clock,
        times=times or base.times,
    )


def _from_short(item: Item, text: str, base: RoundFormat, reporter: Reporter) -> RoundFormat | None:
    match = _SHORT.fullmatch(text)
    length = _length(match["length"]) if match is not None and match["length"] else base.length
    if match is None or int(match["count"]) < 1 or length is None:
        reporter.of(item, f"a mapping with {', '.join(_KEYS)}, or such as 10 x 3:00")
        return None
    return RoundFormat(int(match["count"]), length, base.rest, base.clock, base.times)


def _length(text: str) -> Fraction | None:
    """Seconds of `3:00`, or of `3` minutes; None for what no round lasts."""
    seconds = parse_media_time(text) if ":" in text else Fraction(60 * int(text))
    return seconds if 0 < seconds <= 60 * _LONGEST_IN_MINUTES else None


def _direction(text: str) -> Literal["down", "up"]:
    """Raises ValueError."""
    if text.casefold() == "down":
        return "down"
    if text.casefold() == "up":
        return "up"
    raise ValueError(text)


def _counted(text: str) -> Literal["footage", "clock"]:
    """Raises ValueError."""
    if text.casefold() == "footage":
        return "footage"
    if text.casefold() == "clock":
        return "clock"
    raise ValueError(text)
