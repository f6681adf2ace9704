"""A date as people write it, where it can mean one day alone."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass

_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
    "december",
)  # fmt: skip
_YEAR_FIRST = re.compile(r"(?P<year>[0-9]{4})[-./ ](?P<month>[0-9]{1,2})[-./ ](?P<day>[0-9]{1,2})")
_NUMBERS = re.compile(r"(?P<first>[0-9]{1,2})[-./](?P<second>[0-9]{1,2})[-./](?P<year>[0-9]{4})")
_DAY_MONTH = re.compile(
    r"(?P<day>[0-9]{1,2})(?:st|nd|rd|th|\.)?(?: of)?[ -](?P<name>[a-z]{3,9})\.?,?[ -](?P<year>[0-9]{4})"
)
_MONTH_DAY = re.compile(r"(?P<name>[a-z]{3,9})\.? (?P<day>[0-9]{1,2})(?:st|nd|rd|th)?,? (?P<year>[0-9]{4})")
_SOLID = re.compile(r"(?:19|20)[0-9]{6}")
_IN_TEXT = tuple(
    re.compile(rf"(?<!\w){form.pattern}(?!\w)", re.IGNORECASE)
    for form in (_YEAR_FIRST, _DAY_MONTH, _MONTH_DAY, _NUMBERS, _SOLID)
)


class TwoDates(ValueError):
    """What may be either of two days."""

    def __init__(self, days: tuple[datetime.date, datetime.date]) -> None:
        super().__init__(days)
        self.days = days


def date_of(text: str) -> datetime.date:
    """A day from `2031-03-08`, `2031/3/8`, `8 March 2031`, `March 8, 2031`, `13.3.2031` or `3/13/2031`.

    Raises TwoDates where day and month may be either of two numbers, and ValueError for anything else.
    """
    bare = " ".join(text.lower().split())
    if match := _YEAR_FIRST.fullmatch(bare):
        return datetime.date(int(match["year"]), int(match["month"]), int(match["day"]))
    if match := _DAY_MONTH.fullmatch(bare) or _MONTH_DAY.fullmatch(bare):
        return datetime.date(int(match["year"]), _month(match["name"]), int(match["day"]))
    if match := _NUMBERS.fullmatch(bare):
        return _either(int(match["year"]), int(match["first"]), int(match["second"]))
    return datetime.date.fromisoformat(bare)


@dataclass(frozen=True)
class FoundDate:
    """A date at `text[begin:stop]`."""

    begin: int
    stop: int
    days: tuple[datetime.date, ...]
    """The day, or the two that it may be."""


def find_date(text: str) -> FoundDate | None:
    """The first date in a text, in any form that `date_of` reads, or as eight digits; underscores count as hyphens."""
    plain = text.replace("_", "-")
    matches = (match for form in _IN_TEXT for match in form.finditer(plain))
    for match in sorted(matches, key=lambda match: match.start()):
        try:
            return FoundDate(match.start(), match.end(), (date_of(match[0]),))
        except TwoDates as error:
            return FoundDate(match.start(), match.end(), error.days)
        except ValueError:  # no such day: perhaps the next
            continue
    return None


def _either(year: int, first: int, second: int) -> datetime.date:
    if first > 12 or first == second:
        return datetime.date(year, second, first)
    if second > 12:
        return datetime.date(year, first, second)
    raise TwoDates((datetime.date(year, second, first), datetime.date(year, first, second)))


def _month(name: str) -> int:
    """Raises ValueError where no month begins so."""
    found = [number for number, month in enumerate(_MONTHS, 1) if month.startswith(name) or name == month[:3] + "t"]
    if len(found) != 1:
        raise ValueError(name)
    return found[0]
