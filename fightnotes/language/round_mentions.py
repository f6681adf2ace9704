"""Which round a speaker says that he is in, and what he says of its clock.

Precision comes first: "the second attempt", "a second left" and "the first thing" are no rounds. A number that might
count something else tells of a round only where it goes on from the one before; a round that is named in looking back
("as in the third") tells nothing of where the talk is.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Literal

from fightnotes.clock import RoundFormat
from fightnotes.language import in_talk
from fightnotes.language.sentence_ends import bare

_BEFORE = 40
"""Letters before a number that tell whether it looks back."""
_LATER = 2
"""How many rounds a talk goes on at a time, where the words alone do not tell that a round is meant."""


@dataclass(frozen=True)
class RoundMention:
    """What words `first` to `last` of a text tell."""

    first: int
    last: int
    round: int | None = None
    which: Literal["next", "last"] | None = None
    """Where no number is said: the round behind the one before, or that of the bout."""
    sure: bool = True
    """Whether the number can count nothing but rounds."""
    seconds: Fraction | None = None
    counting: Literal["left", "gone", "halfway"] | None = None
    """What the seconds count; "halfway" has none."""


def round_mentions(words: Sequence[str]) -> list[RoundMention]:
    """In order of place."""
    told = [bare(word) for word in words]
    text = " ".join(told)
    if not any(sign in text for sign in _SIGNS):
        return []
    starts: dict[int, int] = {}
    offset = 0
    for number, word in enumerate(told):
        starts.setdefault(offset, number)
        offset += len(word) + 1
    begins = sorted(starts)
    found = [
        RoundMention(_index(begins, match.start()), _index(begins, match.end() - 1), **values)
        for match, values in (*_rounds(text), *_clocks(text))
    ]
    return sorted(found, key=lambda mention: mention.first)


_SIGNS = ("round", "minute", "second", "r ", ":", "half", "mid", *(word for word in in_talk.ORDINALS))


def _index(begins: Sequence[int], offset: int) -> int:
    return bisect_right(begins, offset) - 1


def _rounds(text: str) -> Iterator[tuple[re.Match[str], dict[str, Any]]]:
    taken: list[tuple[int, int]] = []
    for pattern, sure in ((in_talk.ROUND_NAMED, True), (in_talk.ROUND_BARE, True), (in_talk.ROUND_ASIDE, False)):
        for match in pattern.finditer(text):
            if any(begin < match.end() and match.start() < stop for begin, stop in taken):
                continue
            taken.append(match.span())
            if not in_talk.LOOKING_BACK.search(text, max(0, match.start() - _BEFORE), match.start()):
                yield match, {"round": _number(match), "sure": sure}
    for match in in_talk.NEXT_ROUND.finditer(text):
        yield match, {"which": "next"}
    for match in in_talk.LAST_ROUND.finditer(text):
        yield match, {"which": "last"}


def _number(match: re.Match[str]) -> int:
    given = {name: value for name, value in match.groupdict().items() if value}
    if "ordinal" in given:
        return in_talk.ORDINALS[given["ordinal"]]
    return _count(given.get("cardinal") or given["short"])


def _clocks(text: str) -> Iterator[tuple[re.Match[str], dict[str, Any]]]:
    for pattern in (in_talk.CLOCK_LEFT, in_talk.CLOCK_ROUND, in_talk.CLOCK_LAST):
        for match in pattern.finditer(text):
            yield match, {"seconds": _seconds(match), "counting": "left"}
    for match in in_talk.CLOCK_GONE.finditer(text):
        yield match, {"seconds": _seconds(match), "counting": "gone"}
    for match in in_talk.HALFWAY.finditer(text):
        yield match, {"counting": "halfway"}


def _seconds(match: re.Match[str]) -> Fraction:
    said = {name: value for name, value in match.groupdict().items() if value}
    if "halves" in said:
        return Fraction(30)
    if "reading" in said:
        minutes, _, seconds = said["reading"].partition(":")
        return Fraction(60 * int(minutes) + int(seconds))
    if "minute" in said:
        return 60 * Fraction(_count(said.get("whole", "a"))) + (30 if "more" in said else 0)
    counted = [said.get(name, "0") for name in ("tens", "rest", "tens_alone", "seconds")]
    return Fraction(60 * _count(said.get("minutes", "0")) + sum(map(_count, counted)))


def _count(word: str) -> int:
    return int(word) if word.isdigit() else in_talk.CARDINALS[word]


@dataclass
class RoundFollower:
    """The round in which a talk is, from one moment to the next; rounds over `count` are not believed."""

    count: int | None
    round: int | None = None

    def follow(self, mentions: Sequence[RoundMention]) -> bool:
        """Goes on to the round that mentions tell; whether any told one."""
        told = False
        for mention in mentions:
            number = self._meant(mention)
            if number is not None:
                self.round, told = number, True
        return told

    def _meant(self, mention: RoundMention) -> int | None:
        if mention.which == "next":
            number = None if self.round is None else self.round + 1
        elif mention.which == "last":
            number = self.count
        elif mention.sure or (self.round is not None and 0 < (mention.round or 0) - self.round <= _LATER):
            number = mention.round
        else:
            number = None
        return number if number is not None and 1 <= number <= (self.count or number) else None


def clock_of(mention: RoundMention, rounds: RoundFormat) -> Fraction | None:
    """What the round clock shows, in seconds and in the bout's direction; None where a round is not as long."""
    if mention.counting is None:
        return None
    gone = rounds.length / 2 if mention.seconds is None else mention.seconds
    if gone > rounds.length:
        return None
    return gone if (mention.counting == "left") == (rounds.clock == "down") else rounds.length - gone
