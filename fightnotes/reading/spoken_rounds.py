"""In which round of the bout each moment of a talk is, as its words say.

A moment is in the round that it opens with. One that names none is in that of the moment before, where it tells of a
fighter or a technique and does not look back on several rounds or sum up: a comment belongs to no round.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from fightnotes.clock import RoundFormat
from fightnotes.language import spoken
from fightnotes.language.round_mentions import RoundFollower, RoundMention, clock_of
from fightnotes.language.talk_moments import TalkSentence

_OPENING = 30
"""Words with which a moment opens (by hand): a clock that is named further on is that of its end."""


@dataclass(frozen=True)
class RoundSaid:
    """What a moment's words tell of its place; None for what they do not."""

    round: int | None = None
    clock: Fraction | None = None
    """What the round clock shows about when it begins, in seconds and in the bout's direction."""


def rounds_said(moments: Sequence[Sequence[TalkSentence]], rounds: RoundFormat | None) -> Iterator[RoundSaid]:
    """One for each moment."""
    follower = RoundFollower(rounds.count if rounds else None)
    for moment in moments:
        opening, rest = _mentions(moment)
        named = follower.follow(opening)
        number = follower.round if named or _goes_on(moment) else None
        clock = next((clock_of(mention, rounds) for mention in opening if mention.counting), None) if rounds else None
        yield RoundSaid(number, clock if number is not None else None)
        follower.follow(rest)
        if any(spoken.SUMMING_UP.search(sentence.text) for sentence in moment):
            follower.round = None


def _mentions(moment: Sequence[TalkSentence]) -> tuple[list[RoundMention], list[RoundMention]]:
    """Those with which a moment opens, and those behind."""
    opening: list[RoundMention] = []
    rest: list[RoundMention] = []
    for sentence in moment:
        for mention in sentence.mentions:
            near = sentence.first + mention.first - moment[0].first < _OPENING
            (opening if near else rest).append(mention)
    return opening, rest


def _goes_on(moment: Sequence[TalkSentence]) -> bool:
    """Whether a moment that names no round may be in the one before."""
    texts = [sentence.text for sentence in moment]
    if any(spoken.SUMMING_UP.search(text) or spoken.SEVERAL_ROUNDS.search(text) for text in texts):
        return False
    return any(sentence.meant for sentence in moment)
