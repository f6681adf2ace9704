"""What a text says of a blow: what it was aimed at, and how it came out."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from fightnotes.language import in_notes
from fightnotes.language.negation import spans_over
from fightnotes.language.small_letters import lowered, small_pattern


@dataclass(frozen=True)
class Result:
    """A target or an outcome, said at `text[begin:stop]`."""

    value: str
    begin: int
    stop: int


CAME_TO_NOTHING = frozenset(("failed", "missed", "ignored", "blocked"))
"""Outcomes of what was tried and did not get there."""
_SHARED = frozenset(("landed", "blocked", "missed"))
"""Outcomes that some of several blows may have, and others not."""
_BACK = 60
"""Characters before a word that may tell that it is meant of something else."""
_OUTCOMES = {
    outcome: re.compile(rf"(?<![\w'’])(?:{'|'.join(words)})(?!\w)", re.IGNORECASE)
    for outcome, words in in_notes.OUTCOMES.items()
}
_MAY_SAY = {outcome: small_pattern(pattern.pattern) for outcome, pattern in _OUTCOMES.items()}
"""A first look, as most texts say nothing of most outcomes."""
_AIMED = {target: re.compile(words, re.IGNORECASE) for target, words in in_notes.AIMED.items()}
_PATTERNS = {target: (in_notes.TARGETS[target], _AIMED[target]) for target in in_notes.TARGETS}


def targets_said(text: str) -> list[Result]:
    """Targets that a text speaks of as hit, in order; those left out that it only expects, denies or guards."""
    return _apart(
        Result(target, *match.span())
        for target, patterns in _PATTERNS.items()
        for pattern in patterns
        for match in pattern.finditer(text)
        if not any(spans_over(text, *match.span()))
        and not in_notes.GUARDING.search(text, max(0, match.start() - _BACK), match.start())
    )


def outcomes_said(text: str) -> list[Result]:
    """Outcomes in order; those left out that are denied or only meant, unless the denial is the outcome."""
    small = lowered(text)
    said = [
        Result(outcome, *match.span())
        for outcome, pattern in _OUTCOMES.items()
        if _MAY_SAY[outcome].search(small)
        for match in pattern.finditer(text)
        if (outcome == "ignored" or not _is_undone(text, match))
        and not in_notes.NOT_THE_BLOW.search(text, max(0, match.start() - _BACK), match.start())
        and not in_notes.SEEMED.search(text, max(0, match.start() - _BACK), match.start())
        and not in_notes.ASKED.match(text, match.end())
    ]
    shouted = (Result("knockdown", *match.span()) for match in in_notes.SHOUTED_DOWN.finditer(text))
    return [_of_several(text, _of_a_hold(text, _thrown(text, one))) for one in _apart([*said, *shouted])]


def _is_undone(text: str, match: re.Match[str]) -> bool:
    """A denial that is said twice, as in "nothing, nothing gets through", is one."""
    first = match[0].split()[0].casefold()
    return any(span.cue.casefold() != first for span in spans_over(text, *match.span()))


def _thrown(text: str, one: Result) -> Result:
    """Brought to the floor by a hold, which is no knockdown."""
    thrown = one.value == "knockdown" and in_notes.THROWN.search(text, max(0, one.begin - _BACK), one.stop + _BACK)
    return replace(one, value="worked") if thrown else one


def _of_a_hold(text: str, one: Result) -> Result:
    """A trip that is not there fails; no blow of the sentence misses."""
    begin = max(text.rfind(stop, 0, one.begin) for stop in ".!?\n") + 1
    begin = max(begin, one.begin - _BACK)
    held = one.value == "missed" and in_notes.HELD.search(text, begin, one.begin)
    return replace(one, value="failed") if held and not in_notes.PUNCHES.search(text, begin, one.begin) else one


def _of_several(text: str, one: Result) -> Result:
    """An outcome that is told of some of several blows: two of three land, none is blocked."""
    share = in_notes.A_SHARE.search(text, max(0, one.begin - _BACK), one.begin)
    if not share or one.value not in _SHARED:
        return one
    if share["none"]:
        return replace(one, value="missed") if one.value == "landed" else one
    whole = not share["some"] and not _are_fewer(text, share)
    return one if whole else replace(one, value="partial")


def _are_fewer(text: str, share: re.Match[str]) -> bool:
    """Whether a number is less than one of the numbers before it, of the blows that were thrown."""
    before = in_notes.THROWN_BEFORE.finditer(text, max(0, share.start() - _BACK), share.start())
    return any(_value(share["number"]) < _value(match["number"]) for match in before)


def _value(number: str) -> int:
    return in_notes.NUMBERS.get(number.casefold()) or int(number)


def _apart(said: Iterable[Result]) -> list[Result]:
    """In order; of two that overlap and say the same the first, and none inside another."""
    found: list[Result] = []
    stops: dict[str, int] = {}
    covered = 0
    for one in sorted(said, key=lambda each: (each.begin, -each.stop)):
        if one.begin >= stops.get(one.value, 0) and one.stop > covered:
            found.append(one)
            stops[one.value] = one.stop
            covered = one.stop
    return found
