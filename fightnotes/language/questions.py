"""What a question about the notes wants to know, as its words tell: the claim, what it is of, and over what.

Rules on word lists (`language/english/questions`), tried in a fixed order, the first that fits counts: a question that
asks who does something more is no question of a trend, whatever else stands in it. Golden cases stand in
`tests/cases/questions.md`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from fightnotes.language import asked
from fightnotes.language.words import is_content, lies_in, words_of
from fightnotes.model import fold

Claim = Literal[
    "how often", "more and more", "less and less", "any trend", "does it work", "does it cost", "who does it more",
    "what follows", "what comes before", "when", "none",
]  # fmt: skip
Measured = Literal["how often", "success", "cost"]
Span = tuple[int, int]


@dataclass(frozen=True)
class ClaimAsked:
    claim: Claim
    of: Measured = "how often"
    over_days: bool = False
    """Whether a trend is to go from bout to bout, and not over rounds."""
    rounds: tuple[int, int] | None = None
    """First and last, where the question names them."""
    spans: tuple[Span, ...] = ()
    """Where the words stand that tell of it."""


def read_claim(text: str, named: Sequence[Span], names: int) -> ClaimAsked:
    """`named` are the places of names and of labels, whose words tell nothing of the claim; `names` says how many
    fighters are among them."""
    bare = _blanked(text, named)
    claim, of = _claim(bare, bool(named), names)
    over_days = claim in ("more and more", "less and less", "any trend") and bool(asked.OVER_DAYS.search(bare))
    found = asked.ROUNDS.search(bare)
    first, last = (int(found["first"]), int(found["last"] or found["first"])) if found else (0, 0)
    rounds = (min(first, last), max(first, last)) if first and last else None
    return ClaimAsked(claim, of, over_days, rounds, tuple(_cues(bare)))


def cost_spans(text: str) -> list[Span]:
    """Where a question says that something costs: no label is named there ("getting countered")."""
    return [match.span() for match in asked.COST.finditer(text)]


def pronoun_of(text: str) -> str | None:
    """The first pronoun that stands for a fighter."""
    found = asked.PRONOUNS.search(text)
    return found[0] if found else None


def _claim(bare: str, has_named: bool, names: int) -> tuple[Claim, Measured]:
    of: Measured = "cost" if asked.COST.search(bare) else "success" if asked.SUCCESS.search(bare) else "how often"
    compared = asked.MORE_THAN.search(bare) and names > 1
    who = asked.WHO.search(bare) and (asked.MOST.search(bare) or has_named)
    trend = _trend(bare)
    often = asked.HOW_OFTEN.search(bare) or (has_named and asked.WHETHER.search(bare) and _asks_no_more(bare))
    in_order: tuple[tuple[object, Claim, Measured], ...] = (
        (asked.BEFORE.search(bare), "what comes before", "how often"),
        (asked.AFTER.search(bare), "what follows", "how often"),
        (
            compared or who,
            "who does it more",
            "success" if of == "success" or asked.BETTER.search(bare) else "how often",
        ),
        (trend, trend[0] if trend else "none", (trend[1] if trend else None) or of),
        (asked.WHEN.search(bare), "when", "how often"),
        (asked.CHANGING.search(bare), "any trend", of),
        (of == "cost", "does it cost", "how often"),
        (of == "success", "does it work", "how often"),
        (often, "how often", "how often"),
    )
    return next(((claim, measured) for fits, claim, measured in in_order if fits), ("none", "how often"))


def _asks_no_more(bare: str) -> bool:
    """Whether no word is left that may ask for something else than whether it is done."""
    cues = _cues(bare)
    words = (word for word in words_of(bare) if is_content(word.text))
    return all(fold(word.text) in asked.DOING or lies_in(cues, word.begin) for word in words)


def _trend(bare: str) -> tuple[Claim, Measured | None] | None:
    """The way that is asked about, and what it is of where the same words tell."""
    time = asked.AS_TIME_GOES.search(bare)
    if asked.IMPROVING.search(bare):
        return "more and more", "success"
    if asked.WORSENING.search(bare):
        return "less and less", "success"
    if asked.SHRINKING.search(bare) or (time and asked.LESS.search(bare)):
        return "less and less", None
    if asked.GROWING.search(bare) or (time and asked.MORE.search(bare)):
        return "more and more", None
    return None


_CUES: tuple[re.Pattern[str], ...] = (
    asked.BEFORE, asked.AFTER, asked.WHO, asked.MORE_THAN, asked.IMPROVING, asked.WORSENING, asked.GROWING,
    asked.SHRINKING, asked.MORE, asked.LESS, asked.AS_TIME_GOES, asked.CHANGING, asked.OVER_DAYS, asked.WHEN,
    asked.SUCCESS, asked.COST, asked.HOW_OFTEN, asked.MOST, asked.WHETHER, asked.ROUNDS,
)  # fmt: skip


def _cues(bare: str) -> list[Span]:
    return merged(match.span() for cue in _CUES for match in cue.finditer(bare))


def merged(spans: Iterable[Span]) -> list[Span]:
    """In order, those that overlap or touch made one."""
    found: list[Span] = []
    for begin, stop in sorted(spans):
        if found and begin <= found[-1][1]:
            found[-1] = (found[-1][0], max(stop, found[-1][1]))
        else:
            found.append((begin, stop))
    return found


def _blanked(text: str, spans: Sequence[Span]) -> str:
    """The text with a mark that is no word in the place of each letter of some spans."""
    signs = list(text)
    for begin, stop in spans:
        signs[begin:stop] = "#" * (stop - begin)
    return "".join(signs)
