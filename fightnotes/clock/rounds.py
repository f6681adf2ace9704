"""Rounds: bells, the round clock, and the way between the round clock and media time.

A bell here is the one that opens a round. A round holds the instants from its bell up to, and without, its
end: at the end itself the rest has begun. The reading at the end (0:00 on a clock that runs down) is still a
reading of that round, valid as the end point of a range.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from .faults import ClockError
from .media_time import format_media_time

_MOST_ROUNDS = 999


@dataclass(frozen=True, slots=True)
class RoundFormat:
    """How the rounds of a bout are timed. Raises ClockError for values that no bout can have."""

    count: int | None
    """How many rounds; None where that is not known."""
    length: Fraction
    """Seconds from a round's bell to its end."""
    rest: Fraction
    """Seconds from the end of a round to the next bell."""
    clock: Literal["down", "up"]
    """Whether the round clock runs down to 0:00 or up from it."""
    times: Literal["footage", "clock"] | None = None
    """What a bare time below the heading of a round counts: footage or the round's clock; None: as files tell."""

    def __post_init__(self) -> None:
        if self.count is not None and not 1 <= self.count <= _MOST_ROUNDS:
            raise ClockError(f"{self.count} rounds", f"1 to {_MOST_ROUNDS} rounds")
        if self.length <= 0:
            raise ClockError(f"round length {format_media_time(self.length)}", "a length above 0:00")
        if self.rest < 0:
            raise ClockError(f"rest {format_media_time(self.rest)}", "a rest of 0:00 or more")
        if self.clock not in ("down", "up"):
            raise ClockError(f"clock {self.clock}", "down or up")

    def __str__(self) -> str:
        number = "rounds" if self.count is None else "1 round" if self.count == 1 else f"{self.count} rounds"
        length, rest = format_media_time(self.length), format_media_time(self.rest)
        return f"{number} of {length}, {rest} of rest, the clock runs {self.clock}"


@dataclass(frozen=True, slots=True)
class RoundClock:
    """A reading of the round clock, in the direction in which the bout's clock runs."""

    round: int
    seconds: Fraction


@dataclass(frozen=True, slots=True)
class Bell:
    """The opening of a round, in media seconds."""

    time: Fraction
    inferred: bool
    """True where the time was worked out from another round's bell."""


@dataclass(frozen=True, slots=True)
class Placement:
    """Where in the bout a media time falls."""

    round: int | None
    """The round; in a rest, the round that it follows; after the bout, the last round; before it, None."""
    clock: Fraction | None
    """The round clock's reading in seconds, in its own direction; None outside of rounds."""
    period: Literal["round", "rest", "before", "after"]


def resolve_bells(given: Mapping[int, Fraction], fmt: RoundFormat) -> dict[int, Bell]:
    """Bells by round, in order: those given, and those inferred for the other rounds.

    `given` maps a round to the media seconds of its bell. A missing bell lies a length and a rest, times the
    rounds between, from the nearest given one (of two as near, the earlier). Rounds up to `fmt.count` are
    filled in; where the count is not known, up to the last given one. None given, none inferred.

    Between two given bells the inferred ones must ascend, and stay between the two. Where they would not, the
    bout ran otherwise than its format says there, and the rounds of that gap are left out. An inferred bell
    may lie before 0, where the recording starts in a later round. When a bout ended early, the rounds that it
    did not reach are still inferred unless `fmt.count` says how many there were.

    Raises ClockError for a given bell that does not come after the one before it, and for a round below 1 or
    over `fmt.count` (999 where that is not known).
    """
    rounds = sorted(given)
    if not rounds:
        return {}
    for number in rounds:
        _check_round(number, fmt)
    for earlier, later in pairwise(rounds):
        if given[later] <= given[earlier]:
            raise ClockError(
                f"bell of round {later} at {format_media_time(given[later])}",
                f"a time after the bell of round {earlier} at {format_media_time(given[earlier])}",
            )
    last = fmt.count or rounds[-1]
    times = {number: _nearest_bell(number, given, fmt) for number in range(1, last + 1)}
    for earlier, later in pairwise(rounds):
        if any(times[number] >= times[number + 1] for number in range(earlier, later)):
            for number in range(earlier + 1, later):
                del times[number]
    return {number: Bell(time, inferred=number not in given) for number, time in times.items()}


def elapsed_of(round_clock: RoundClock, fmt: RoundFormat) -> Fraction:
    """Seconds from the bell of its round to a reading; both ends of the round are valid readings.

    Raises ClockError for a reading over the round's length or below 0, and for a round below 1 or over
    `fmt.count`.
    """
    _check_round(round_clock.round, fmt)
    if not 0 <= round_clock.seconds <= fmt.length:
        raise ClockError(
            f"R{round_clock.round} {format_media_time(round_clock.seconds)}",
            f"a round clock from 0:00 to {format_media_time(fmt.length)}",
        )
    return round_clock.seconds if fmt.clock == "up" else fmt.length - round_clock.seconds


def media_of(round_clock: RoundClock, bells: Mapping[int, Bell], fmt: RoundFormat) -> Fraction | None:
    """Media seconds of a round clock's reading; None where its round has no bell or it is before the file.

    Where the next bell is given as ringing before the round's length is over, a late reading falls past that
    bell.

    Raises ClockError as `elapsed_of` does.
    """
    elapsed = elapsed_of(round_clock, fmt)
    bell = bells.get(round_clock.round)
    if bell is None or bell.time + elapsed < 0:
        return None
    return bell.time + elapsed


def placement_of(seconds: Fraction, bells: Mapping[int, Bell], fmt: RoundFormat) -> Placement | None:
    """Where media time `seconds` falls in the bout; None where the bells do not tell.

    They do not tell when there are none, and after the end of a round whose next round has no bell while a
    later one has. The last bell that rang decides, even where the round before it had not run its length.
    """
    if not bells:
        return None
    rung = [number for number, bell in bells.items() if bell.time <= seconds]
    if not rung:
        return Placement(None, None, "before")
    current = max(rung)
    elapsed = seconds - bells[current].time
    if elapsed < fmt.length:
        return Placement(current, elapsed if fmt.clock == "up" else fmt.length - elapsed, "round")
    if current == max(bells):
        return Placement(current, None, "after")
    return Placement(current, None, "rest") if current + 1 in bells else None


def _nearest_bell(number: int, given: Mapping[int, Fraction], fmt: RoundFormat) -> Fraction:
    nearest = min(given, key=lambda known: (abs(known - number), known))
    return given[nearest] + (number - nearest) * (fmt.length + fmt.rest)


def _check_round(number: int, fmt: RoundFormat) -> None:
    last = _MOST_ROUNDS if fmt.count is None else fmt.count
    if not 1 <= number <= last:
        raise ClockError(f"round {number}", f"a round from 1 to {last}")
