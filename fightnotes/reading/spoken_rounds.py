"""In which round of the bout each moment of a talk is, as its words say.

A moment is in the round that it opens with. One that opens with a clock alone is in the round before it; one that names
neither may be a comment on all of them, and is left without.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from fightnotes.clock import RoundFormat
from fightnotes.language.round_mentions import RoundFollower, RoundMention, clock_of
from fightnotes.language.talk_moments import TalkSentence

_OPENING = 30
"""Words with which a moment opens (by hand): a round or a clock that is named further on is that of its end."""


@dataclass(frozen=True)
class RoundSaid:
    """What a moment's words tell of its place; None for what they do not."""

    round: int | None = None
    clock: Fraction | None = None
    """What the round clock shows about when it begins, in seconds and in the bout's direction."""
    named: bool = False
    """Whether the moment itself names the round."""


def rounds_said(moments: Sequence[Sequence[TalkSentence]], rounds: RoundFormat | None) -> Iterator[RoundSaid]:
    """One for each moment."""
    follower = RoundFollower(rounds.count if rounds else None)
    for moment in moments:
        opening, rest = _mentions(moment)
        named = follower.follow(opening)
        clock = next((clock_of(mention, rounds) for mention in opening if mention.counting), None) if rounds else None
        if named or clock is not None:
            yield RoundSaid(follower.round, clock if follower.round else None, named)
        else:
            yield RoundSaid()
        follower.follow(rest)


def _mentions(moment: Sequence[TalkSentence]) -> tuple[list[RoundMention], list[RoundMention]]:
    """Those with which a moment opens, and those behind."""
    opening: list[RoundMention] = []
    rest: list[RoundMention] = []
    for sentence in moment:
        for mention in sentence.mentions:
            near = sentence.first + mention.first - moment[0].first < _OPENING
            (opening if near else rest).append(mention)
    return opening, rest
