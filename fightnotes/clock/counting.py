"""What the words behind a reading say of its clock: that it is a round's, which one, and how it counts.

`2:10 left` is what remains of a round, and in this trade as often a hand: `2:10 left hook`, `2:10 left, right, left`.
It counts where the words say more (`left in the round`, `with 2:10 left`), where nothing follows, and before a pause
where a round is known and no punch stands behind it. Common practice, no source.
"""

import re
from dataclasses import dataclass
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


@dataclass(frozen=True, slots=True)
class Counted:
    stop: int
    how: Counting
    round: int | None
    """The round that the words name."""


def read_counting(text: str, position: int, known: bool, sure: bool) -> Counted | None:
    """What the words at `position`, right behind a reading, say of its clock; None where they say nothing of it.

    `known` says that a round is known; `sure` that `left` is no hand.
    """
    if match := _ON_CLOCK.match(text, position):
        return Counted(match.end(), "clock", None)
    if match := _GONE.match(text, position):
        return Counted(match.end(), "gone", None)
    if (match := _OF.match(text, position)) and (mark := read_round_mark(text, match.end())):
        return Counted(mark.stop, "gone" if match["word"].lower() == "into" else "clock", mark.number)
    left = _LEFT.match(text, position)
    return None if left is None else _left(text, left, known, sure)


def _left(text: str, left: re.Match[str], known: bool, sure: bool) -> Counted | None:
    if mark := _round_behind(text, left.end()):
        return Counted(mark.stop, "left", mark.number)
    if match := _OF_ROUND.match(text, left.end()):
        return Counted(match.end(), "left", None)
    counted = Counted(left.end(), "left", None)
    if sure or left["word"].lower().startswith("remain") or _ENDS.match(text, left.end()):
        return counted
    pause = _PAUSE.match(text, left.end())
    if pause is None:
        return None
    if left["word"].lower() != "left":
        return counted
    is_hand = not known or (pause["sign"] != ":" and _PUNCH.match(text, pause.end()))
    return None if is_hand else counted


def _round_behind(text: str, position: int) -> RoundMark | None:
    match = _IN.match(text, position)
    return None if match is None else read_round_mark(text, match.end())
