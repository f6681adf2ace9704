"""What files alone do not tell, as questions with a guess: asked at a terminal, or answered by options."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction

from fightnotes.clock import ClockError, parse_rate
from fightnotes.errors import UsageError
from fightnotes.model import Record
from fightnotes.reading.headed_times import HeadedClock, headed_clock
from fightnotes.reading.placed_yaml import Item, Reporter
from fightnotes.reading.round_format import rounds_from
from fightnotes.starting.bouts import Answers, BoutGuess, Gathering
from fightnotes.starting.corners import guess_of_sides, has_corners, is_pair, sides_of
from fightnotes.starting.survey import Survey

_RATES = (25, 30, 50, 60)
"""Rates whose frames are counted below them (common practice, no source)."""
LEAVE = "-"
"""The answer that leaves a thing open, where there is a guess."""


class Question(Record):
    key: str
    """What an answer is given by: `clock`, or such as `fighters:old/corvale.txt`."""
    text: str
    guess: str = ""
    """What is offered; empty where nothing is."""
    choices: tuple[str, ...] = ()
    """The answers that there are; none where any words may be one."""
    unasked: str = ""
    """What holds where nobody is asked; empty where the thing is then left open."""


def open_questions(survey: Survey, gathering: Gathering, answers: Answers) -> tuple[Question, ...]:
    """What is not answered yet, of the whole folder first, then by file."""
    asked = (*_general(survey, gathering, answers), *_of_files(survey, gathering), *_of_bouts(gathering, answers))
    return tuple(question for question in asked if question.key not in answers)


def read_answer(question: Question, answer: str) -> str:
    """The answer as it is kept; one left empty is the guess. Raises UsageError for none that the question has."""
    given = answer.strip() or question.guess
    if given == LEAVE:
        return ""
    if question.choices and given:
        near = [choice for choice in question.choices if choice.casefold().startswith(given.casefold())]
        if given.isdigit() and 1 <= int(given) <= len(question.choices):
            near = [question.choices[int(given) - 1]]
        exact = [choice for choice in near if choice.casefold() == given.casefold()] or near
        if len(exact) != 1:
            raise UsageError(f"{question.key}: found '{given}', expected one of {', '.join(question.choices)}")
        return exact[0]
    if question.key.startswith("rate:") and given:
        try:
            parse_rate(given)
        except ClockError as error:
            raise UsageError(f"{question.key}: found '{error.found}', expected {error.expected}") from error
    if question.key == "rounds" and given and rounds_from(Item(1, 1, text=given), None, Reporter("")) is None:
        raise UsageError(f"{question.key}: found '{given}', expected a number of rounds, or such as 10 x 3:00")
    if question.key.startswith("fighters:") and given and not is_pair(given):
        raise UsageError(f"{question.key}: found '{given}', expected two names such as Corvale v Brandaal")
    return given


def answers_to(asked: Callable[[Answers], tuple[Question, ...]], given: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Answers by key, in any order; `asked` are the questions that some answers leave open.

    Raises UsageError for a key that asks nothing, or an answer that is none.
    """
    waiting, answers = dict(given), dict[str, str]()
    while waiting:
        questions = {question.key: question for question in asked(answers)}
        known = [key for key in waiting if key in questions]
        if not known:
            key = next(iter(waiting))
            some = ", ".join(list(questions)[:5]) or "nothing more"
            raise UsageError(f"nothing is asked as '{key}' here; what is asked: {some}")
        for key in known:
            answers[key] = read_answer(questions[key], waiting.pop(key))
    return answers


def _general(survey: Survey, gathering: Gathering, answers: Answers) -> Iterator[Question]:
    if not gathering.bouts and survey.has_settings:
        return
    if not survey.has_settings:
        name = survey.root.name or "library"
        yield Question(key="title", text="What shall the library be called?", guess=name, unasked=name)
    if any("analyst" not in {*guess.labelled, *_matter_keys(guess)} for guess in gathering.bouts):
        yield Question(key="analyst", text="Whose notes are these? A name or initials, or nothing to leave it open.")
    headed = [guess for guess in gathering.bouts if (clock := clock_of_headed(guess)) and not clock.sure]
    if headed:
        yield Question(
            key="times",
            text=f"{_bouts(len(headed))}, such as {headed[0].file}: a time below the heading of a round, is it of the "
            "round's clock or of the footage?",
            guess="clock",
            choices=("clock", "footage"),
            unasked="footage",
        )
    unclear = [
        guess for guess in gathering.bouts if clocks_of(guess, answers) and direction_told(guess, answers) is None
    ]
    if unclear and survey.settings.rounds is None:
        first = usual_direction(gathering, answers)
        yield Question(
            key="clock",
            text=f"{_bouts(len(unclear))}, such as {unclear[0].file}: does the round clock run down to 0:00, or up?",
            guess=first,
            choices=("down", "up"),
            unasked=first,
        )
    coded = [(key, guess) for guess in gathering.bouts if (key := rate_key(guess))]
    for key in dict.fromkeys(key for key, _ in coded):
        alike = [guess for other, guess in coded if other == key]
        yield Question(
            key=key,
            text=f"{_bouts(len(alike))}, such as {alike[0].file}, with timecode: how many frames a second? "
            f"Such as 25 or 30000/1001; '{LEAVE}' leaves it open.",
            guess=key.partition(":")[2],
        )
    named = [guess for guess in gathering.bouts if guess.name.sides and not has_corners(guess)]
    if named and (sides := named[0].name.sides):
        yield Question(
            key="red",
            text=f"In names such as '{sides[0]} v {sides[1]}', which of the two stands in the red corner?",
            guess="first",
            choices=("first", "second"),
            unasked="first",
        )


def _of_files(survey: Survey, gathering: Gathering) -> Iterator[Question]:
    for note in survey.notes:
        if note.likeness == "perhaps":
            yield Question(
                key=f"notes:{note.file}",
                text=f"{note.file}: is it notes of a bout? Lines that begin with a time: {note.facts.timed}.",
                guess="no",
                choices=("yes", "no"),
                unasked="no",
            )
    for captions, near in gathering.loose:
        choices = [gathering.bouts[number] for number in near] or gathering.bouts
        if choices:
            yield Question(
                key=f"captions:{captions.file}",
                text=f"{captions.file}: of which bout are these captions? '{LEAVE}' leaves them alone.",
                choices=tuple(guess.file for guess in choices),
                guess=LEAVE,
            )


def _of_bouts(gathering: Gathering, answers: Answers) -> Iterator[Question]:
    for guess in gathering.bouts:
        key = f"fighters:{guess.file}"
        if not has_corners(guess) and (key in answers or sides_of(guess, answers) is None):
            yield Question(
                key=key,
                text=f"{guess.file}: who fights? Such as 'Corvale v Brandaal'; '{LEAVE}' leaves it open.",
                guess=guess_of_sides(guess) or LEAVE,
            )
        if len(guess.name.days) > 1 and "date" not in _matter_keys(guess):
            days = tuple(day.isoformat() for day in guess.name.days)
            text = f"{guess.file}: which day is meant? '{LEAVE}' leaves it open."
            yield Question(key=f"date:{guess.file}", text=text, choices=days, guess=LEAVE)
        if len(guess.footage) > 1 and "media" not in _matter_keys(guess):
            text = f"{guess.file}: which is its footage? '{LEAVE}' leaves it open."
            yield Question(key=f"footage:{guess.file}", text=text, choices=guess.footage, guess=LEAVE)


def clock_of_headed(guess: BoutGuess) -> HeadedClock | None:
    """What its bare times below the headings of rounds look like."""
    return headed_clock([facts.headed for facts in guess.facts])


def headed_of(guess: BoutGuess, answers: Answers) -> HeadedClock | None:
    """The clock that they are of, where that is sure or was answered."""
    found = clock_of_headed(guess)
    return found if found and (found.sure or answers.get("times") == "clock") else None


def clocks_of(guess: BoutGuess, answers: Answers) -> list[Fraction]:
    """Its round clocks, in seconds."""
    headed = headed_of(guess, answers)
    return [*(clock for facts in guess.facts for clock in facts.clocks), *(headed.times if headed else ())]


def rate_key(guess: BoutGuess) -> str | None:
    """The key of the question for the rate that its timecodes count at, with a guess at its end; None without them."""
    highest = max((facts.highest_frame for facts in guess.facts if facts.highest_frame is not None), default=None)
    if highest is None or "media" in _matter_keys(guess):
        return None
    if any(facts.drop_frame for facts in guess.facts):
        return "rate:30000/1001" if highest < 30 else "rate:60000/1001"
    return f"rate:{next((rate for rate in _RATES if highest < rate), 120)}"


def direction_told(guess: BoutGuess, answers: Answers) -> str | None:
    """Which way the clock of a bout runs by its own notes; None where they do not tell, or tell both."""
    headed = headed_of(guess, answers)
    told = {facts.direction for facts in guess.facts if facts.direction} | ({headed.direction} if headed else set())
    return told.pop() if len(told) == 1 else None


def usual_direction(gathering: Gathering, answers: Answers) -> str:
    """That of most bouts whose notes tell; down where none does (common practice, no source)."""
    told = Counter(direction for guess in gathering.bouts if (direction := direction_told(guess, answers)))
    return "up" if told["up"] > told["down"] else "down"


def _matter_keys(guess: BoutGuess) -> set[str]:
    return {key for facts in guess.facts for key in facts.matter}


def _bouts(count: int) -> str:
    return "one bout" if count == 1 else f"{count} bouts"
