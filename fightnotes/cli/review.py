"""Suggestions decided one by one: a question and the text around it on standard error, answers on standard input."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from fightnotes.cli.output import ask, say
from fightnotes.errors import FightnotesError, UnknownName

if TYPE_CHECKING:
    from fightnotes.library import Library
    from fightnotes.library.decisions import Decision, Decisions
    from fightnotes.suggesting.suggestion import Suggestion

KEYS = "a accept, r reject, o other instead, l later, u undo, s stop"


def go_through(library: Library, found: tuple[Suggestion, ...]) -> None:
    """Each decision is written when it is taken; what cannot be is said and passed over. The end of the input stops."""
    from fightnotes.library.decisions import Decisions
    from fightnotes.library.undecided import place_of

    waiting = sorted(found, key=place_of)
    decisions = Decisions()
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
            place = _undo(library, decisions, waiting, place)
        elif answer == "l":
            place += 1
        elif answer in _DECIDE:
            try:
                decided = _DECIDE[answer](library, decisions, waiting[place])
            except FightnotesError as error:
                say(f"not written: {error}")
                place += 1
                continue
            place += 1 if decided else 0
        else:
            say(f"one of: {KEYS}")
    counts = Counter(decision.verdict for decision in decisions.taken)
    decided_so_far = f"{counts['accepted']} accepted, {counts['rejected']} rejected, {counts['changed']} changed"
    say(f"{decided_so_far}; {len(waiting) - place} not looked at")


def _accept(library: Library, decisions: Decisions, each: Suggestion) -> Decision:
    return decisions.accept(library, each)


def _reject(library: Library, decisions: Decisions, each: Suggestion) -> Decision:
    return decisions.reject(library, each)


def _other(library: Library, decisions: Decisions, each: Suggestion) -> Decision | None:
    """None where the person thinks again."""
    written = _ask(f"{each.asked_for}, or nothing to go back: ")
    if not written:
        return None
    try:
        return decisions.change(library, each, written)
    except UnknownName as error:
        say(str(error))
        return None


_DECIDE: dict[str, Callable[[Library, Decisions, Suggestion], Decision | None]] = {
    "a": _accept,
    "r": _reject,
    "o": _other,
}


def _undo(library: Library, decisions: Decisions, waiting: Sequence[Suggestion], place: int) -> int:
    """Takes the last decision back and gives the place to go on from."""
    last = decisions.last
    if last is None:
        say("nothing to undo")
        return place
    try:
        decisions.take_back(library)
    except FightnotesError as error:
        say(f"not taken back: {error}")
    return next(number for number, each in enumerate(waiting) if each is last.of)


def _show(library: Library, each: Suggestion, place: int, count: int) -> None:
    segment = each.segment
    say(f"\n{place + 1} of {count}  {each.place}")
    now = library.note_now(segment)
    if now.first != segment.line:
        say(f"moved: it stands at {segment.file}:{now.first} now")
    for number, line in now.lines:
        mark = ">" if now.first <= number <= now.last else " "
        say(f"{mark} {number:4} {line}")
    say(f"{each.title}  {each.probability:.0%}\n  {each.why}")


def _ask(question: str) -> str | None:
    """The answer in lower case without white space around it; None at the end of the input."""
    line = ask(question)
    return line.strip().casefold() if line is not None else None
