"""How a round is named: `R4`, `Rd2`, `rd. 2`, `Round 3`, `Round three`, `2nd round`, `third round`, `4R`; or `2nd`.

Common practice of note-takers and of the bodies that score bouts; no source.
"""

import re
from dataclasses import dataclass

_CARDINALS = (
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen",
    "fourteen", "fifteen",
)  # fmt: skip
_ORDINALS = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh",
    "twelfth", "thirteenth", "fourteenth", "fifteenth",
)  # fmt: skip
_NUMBERS = {word: number for words in (_CARDINALS, _ORDINALS) for number, word in enumerate(words, 1)}
_BLANK = r"[^\S\r\n]*"
_ROUND_WORD = r"(?:round|rnd|rd)\b\.?"
_MARK = re.compile(
    rf"(?P<spelt>round|rnd|rd|r)(?:\.?{_BLANK}|(?<=[dD])(?:[-#]|\.?{_BLANK}(?:no\.?|nr\.?|#){_BLANK}))"
    rf"(?P<number>[0-9]{{1,9}})(?![0-9A-Za-z])"
    rf"|round{_BLANK}(?P<cardinal>{'|'.join(_CARDINALS)})\b"
    rf"|(?P<counted>[0-9]{{1,2}})(?:st|nd|rd|th)\b(?P<word>{_BLANK}{_ROUND_WORD})?"
    rf"|(?P<ordinal>{'|'.join(_ORDINALS)}){_BLANK}{_ROUND_WORD}"
    r"|(?P<before>[0-9]{1,2})R\b",
    re.IGNORECASE,
)
_SEVERAL = re.compile(
    rf"{_BLANK}(?:[-–&+,/]|to\b|and\b){_BLANK}(?:r|rd\.?|round)?{_BLANK}[0-9]{{1,3}}(?![0-9:.'’′])", re.I
)
_ROUNDS = re.compile(rf"(?:rounds|rds)\.?{_BLANK}[0-9]", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class RoundMark:
    """A round named at `text[begin:stop]`."""

    begin: int
    stop: int
    number: int
    digits: int
    """Where its digits begin, where they stand last; else `stop`."""
    letter: bool
    """Whether it is the designed form, `R4`."""
    alone: bool
    """Whether it names a round without a clock behind it: `2nd` does not."""


def read_round_mark(text: str, position: int = 0) -> RoundMark | None:
    """The round that is named at `position`; 0 and numbers that no bout has are for the caller to refuse."""
    match = _MARK.match(text, position)
    if match is None:
        return None
    word = match["cardinal"] or match["ordinal"]
    number = _NUMBERS[word.lower()] if word else int(match["number"] or match["counted"] or match["before"])
    digits = match.start("number") if match["number"] else match.end()
    letter = (match["spelt"] or "").lower() == "r" and digits == position + 1
    return RoundMark(position, match.end(), number, digits, letter, not (match["counted"] and not match["word"]))


def names_rounds(text: str, position: int = 0) -> bool:
    """Whether several rounds are named at `position`: `Rounds 3-4`, `Round 1 and 2`, `R2/3`."""
    mark = read_round_mark(text, position)
    if mark is None:
        return _ROUNDS.match(text, position) is not None
    return mark.alone and _SEVERAL.match(text, mark.stop) is not None
