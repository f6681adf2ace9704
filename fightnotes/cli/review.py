"""Suggestions decided one by one: a question and the text around it on standard error, answers on standard input."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.cli.output import ask, say
from fightnotes.errors import FightnotesError, UnknownName

if TYPE_CHECKING:
    from fightnotes.library import Library
    from fightnotes.suggesting.suggestion import Suggestion

KEYS = "a accept, r reject, o other instead, l later, u undo, s stop"
_AROUND = 2
"""Lines shown before and behind the moment."""


@dataclass(frozen=True)
class _Decision:
    place: int
    name: str
    undo_file: Path | None
    """None where nothing had to be written."""


def go_through(library: Library, found: tuple[Suggestion, ...]) -> None:
    """Each decision is written when it is taken; what cannot be is said and passed over. The end of the input stops."""
    waiting = sorted(found, key=lambda each: (each.segment.file, each.segment.line))
    decisions: list[_Decision] = []
    place = 0
    while place < len(waiting):
        try:
            _show(library, waiting[place], place, len(waiting))
        except FightnotesError as error:
            say(f"passed over: {error}")
            place += 1
            continue
        answer = _ask(f"{KEYS}: ")
        if answer is None or answer == "s":
            break
        if answer == "u":
            place = _undo(library, decisions, place)
        elif answer == "l":
            place += 1
        elif answer in _DECIDE:
            try:
                decision = _DECIDE[answer](library, waiting[place], place)
            except FightnotesError as error:
                say(f"not written: {error}")
                place += 1
                continue
            if decision:
                decisions.append(decision)
                place += 1
        else:
            say(f"one of: {KEYS}")
    counts = Counter(decision.name for decision in decisions)
    decided = ", ".join(f"{counts[name]} {name}" for name in ("accepted", "rejected", "changed"))
    say(f"{decided}; {len(waiting) - place} not looked at")


def _accept(library: Library, each: Suggestion, place: int) -> _Decision:
    return _Decision(place, "accepted", library.apply(library.plan_marks([(each.segment, each.name)])))


def _reject(library: Library, each: Suggestion, place: int) -> _Decision:
    return _Decision(place, "rejected", library.apply(library.plan_rejection(each.segment, each.name)))


def _other(library: Library, each: Suggestion, place: int) -> _Decision | None:
    """Another tag or value in its place: the one suggested is rejected. None where the person thinks again."""
    written = _ask(f"{each.asked_for}, or nothing to go back: ")
    if not written:
        return None
    try:
        taking = library.plan_marks([(each.segment, each.instead(written))])
    except UnknownName as error:
        say(str(error))
        return None
    refusal = library.plan_rejection(each.segment, each.name)
    both = replace(taking, title=f"{taking.title} for {each.name}", edits=(*taking.edits, *refusal.edits))
    return _Decision(place, "changed", library.apply(both))


_DECIDE: dict[str, Callable[[Library, Suggestion, int], _Decision | None]] = {
    "a": _accept,
    "r": _reject,
    "o": _other,
}


def _undo(library: Library, decisions: list[_Decision], place: int) -> int:
    """Takes the last decision back and gives the place to go on from."""
    if not decisions:
        say("nothing to undo")
        return place
    last = decisions.pop()
    try:
        if last.undo_file:
            library.undo(last.undo_file)
    except FightnotesError as error:
        say(f"not taken back: {error}")
    return last.place


def _show(library: Library, each: Suggestion, place: int, count: int) -> None:
    segment = each.segment
    say(f"\n{place + 1} of {count}  {each.place}")
    first, last = library.moment_now(segment)
    if first != segment.line:
        say(f"moved: it stands at {segment.file}:{first} now")
    lines = library.lines_of(segment.file)
    for number in range(max(first - _AROUND, 1), min(last + _AROUND, len(lines)) + 1):
        mark = ">" if first <= number <= last else " "
        say(f"{mark} {number:4} {lines[number - 1]}")
    say(f"{each.title}  {each.probability:.0%}\n  {each.why}")


def _ask(question: str) -> str | None:
    """The answer in lower case without white space around it; None at the end of the input."""
    line = ask(question)
    return line.strip().casefold() if line is not None else None
