"""What the lines of a file say together about how its writer writes times."""

import re
from collections.abc import Iterable

from .notation import Habits, is_decimal, is_height, read_point, read_primes
from .signs import narrow

_LEAST_LINES = 3
_SHARE = 4
"""A notation that may be something else is a habit from so many lines on, with so many for it to one against it."""
_COLON = re.compile(r"[0-9]{1,3}:[0-5][0-9](?![0-9])")
_FEET = re.compile(r"[4-7]['’′][0-9](?:''|[\"”″])")


def habits_of(beginnings: Iterable[str]) -> Habits:
    """The habits of whoever wrote a file whose lines begin so, behind bullets and opening marks."""
    points = others = primes = heights = 0
    for beginning in beginnings:
        text = narrow(beginning)
        point, prime = read_point(text, 0), read_primes(text, 0)
        if point is not None and int(point["s"]) < 60:
            points += 1
        elif is_decimal(text, 0) or _COLON.match(text):
            others += 1
        elif prime is not None and not is_height(prime["m"], prime["s"]):
            primes += 1
        elif _FEET.match(text):
            heights += 1
    return Habits(
        points=points >= _LEAST_LINES and points >= _SHARE * others,
        primes=primes >= _LEAST_LINES and primes >= _SHARE * heights,
    )
