"""What the words behind a reading say of its clock: that it is a round's, which one, and how it counts.

`2:10 left` is what remains of a round, and in this trade as often a hand: `2:10 left hook`, `2:10 left, right, left`.
It counts where the words say more (`left in the round`, `with 2:10 left`), where nothing follows, and, where a round is
known, before a colon or before a pause and somebody (`left, she jabs`). Before a pause and a punch it is the hand;
before a pause and anything else it is doubtful. Common practice, no source.
"""

import re
from dataclasses import dataclass, replace
from typing import Literal

from .round_mark import RoundMark, read_round_mark

Counting = Literal["clock", "left", "gone"]
"""As the round clock shows; what is left of the round; what is gone of it."""

_BLANK = r"[^\S\r\n]"
_THE = rf"{_BLANK}+(?:the{_BLANK}+)?"
_ON_CLOCK = re.compile(rf"{_BLANK}+on the clock\b", re.IGNORECASE)
_GONE = re.compile(rf"{_BLANK}+into{_THE}(?:round|rd)\b(?!{_BLANK}*[0-9])", re.IGNORECASE)
_OF = re.compile(rf"{_BLANK}+(?P<word>of|into){_THE}", re.IGNORECASE)
_IN = re.compile(rf"{_BLANK}+(?:of|in){_THE}", re.IGNORECASE)
_LEFT = re.compile(rf"{_BLANK}+(?P<word>left|remaining|remain|to go)\b", re.IGNORECASE)
_OF_ROUND = re.compile(
    rf"(?:{_BLANK}+(?:in|of){_THE}(?:round|rd|clock)\b(?!{_BLANK}*[0-9])|{_BLANK}+on the clock\b)", re.IGNORECASE
)
_ENDS = re.compile(rf"{_BLANK}*(?:$|[)\]|\r\n])")
_PAUSE = re.compile(rf"{_BLANK}*(?P<sign>[,.:;])|{_BLANK}+[-–—]{_BLANK}")
_PUNCH = re.compile(
    r"\W*(?:right|left|hook|cross|uppercut|jab|hand|body|straight|overhand|then|and|to|up|high|low|short|long)\b",
    re.IGNORECASE,
)


_SOMEBODY = re.compile(
    r"\s*[*_(\"“]*(?:[A-Z]|(?:she|he|they|it|both|each|neither|nobody|all|another|first|red|blue|the bell)\b)"
)


_PLAIN: tuple[tuple[re.Pattern[str], Counting], ...] = ((_ON_CLOCK, "clock"), (_GONE, "gone"))


@dataclass(frozen=True, slots=True)
class Counted:
    stop: int
    how: Counting
    round: int | None
    """The round that the words name."""
    doubtful: bool = False
    """Whether it may be a hand instead."""


def read_counting(text: str, position: int, known: bool | None, sure: bool) -> Counted | None:
    """What the words at `position`, right behind a reading, say of its clock; None where they say nothing of it.

    `known` says that a round is known, None that the reading is longer than any round; `sure` that `left` is no hand.
    """
    for pattern, how in _PLAIN:
        if match := pattern.match(text, position):
            return Counted(match.end(), how, None)
    if (match := _OF.match(text, position)) and (mark := read_round_mark(text, match.end())):
        return Counted(mark.stop, "gone" if match["word"].lower() == "into" else "clock", mark.number)
    left = _LEFT.match(text, position)
    return None if left is None else _left(text, left, known, sure)


def _left(text: str, left: re.Match[str], known: bool | None, sure: bool) -> Counted | None:
    counted = Counted(left.end(), "left", None)
    if mark := _round_behind(text, left.end()):
        return replace(counted, stop=mark.stop, round=mark.number)
    if match := _OF_ROUND.match(text, left.end()):
        return replace(counted, stop=match.end())
    ends = known is not None and _ENDS.match(text, left.end()) is not None
    if sure or ends or left["word"].lower().startswith("remain"):
        return counted
    pause = _PAUSE.match(text, left.end())
    if pause is not None and left["word"].lower() == "left":
        return _before_pause(text, pause, counted) if known else None
    return None if pause is None else counted


def _before_pause(text: str, pause: re.Match[str], counted: Counted) -> Counted | None:
    if pause["sign"] == ":":
        return counted
    if _PUNCH.match(text, pause.end()):
        return None
    return replace(counted, doubtful=_SOMEBODY.match(text, pause.end()) is None)


def _round_behind(text: str, position: int) -> RoundMark | None:
    match = _IN.match(text, position)
    return None if match is None else read_round_mark(text, match.end())
