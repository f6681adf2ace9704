"""Questions put at a terminal, and what is answered beforehand by options."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Annotated

import typer

from fightnotes.cli.output import ask as answer_to
from fightnotes.cli.output import say
from fightnotes.errors import FightnotesError, UsageError

if TYPE_CHECKING:
    from fightnotes.starting.questions import Question

STOP = "."

AskOption = Annotated[
    bool | None,
    typer.Option("--ask/--no-ask", help="Ask what the files do not tell; as it is at a terminal.", show_default=False),
]
AnswerOption = Annotated[
    list[str] | None,
    typer.Option(
        "--answer", metavar="KEY=TEXT", help="Answer a question beforehand, by the key that --format json names."
    ),
]


def is_asking(ask: bool | None, format: str) -> bool:
    """As the option says; else at a terminal, where the answer is no document."""
    at_terminal = sys.stdin.isatty() and sys.stderr.isatty()
    return ask if ask is not None else at_terminal and format == "diff"


def pairs_of(given: Iterable[str] | None) -> list[tuple[str, str]]:
    """Keys and texts of `--answer`. Raises UsageError."""
    pairs = []
    for text in given or ():
        key, sign, answer = text.partition("=")
        if not sign:
            raise UsageError(f"--answer: found '{text}', expected KEY=TEXT")
        pairs.append((key.strip(), answer))
    return pairs


def ask_all(
    answers: dict[str, str],
    asked: Callable[[dict[str, str]], tuple[Question, ...]],
    read: Callable[[Iterable[tuple[str, str]]], dict[str, str]],
) -> None:
    """Puts to `answers` what a person answers to the questions that they leave open. Ends the command where the input
    ends."""
    if asked(answers):
        say(f"Enter takes what stands in brackets; '{STOP}' takes the rest as guessed.")
    while questions := asked(answers):
        given = _answer(questions[0], len(questions))
        if given is None:
            say("stopped: nothing is written")
            raise typer.Exit(1)
        if given == STOP:
            return
        try:
            answers |= read([*answers.items(), (questions[0].key, given)])
        except FightnotesError as error:
            say(str(error))


def ask_to_write() -> None:
    """Ends the command where a person does not agree."""
    line = answer_to("Write this? [yes] ")
    if line is None or line.strip().casefold() not in ("", "y", "yes"):
        say("nothing is written")
        raise typer.Exit(1)


def _answer(question: Question, waiting: int) -> str | None:
    """What is typed, without white space around it; None at the end of the input. `waiting` questions are open."""
    choices = [f"  {number} {choice}" for number, choice in enumerate(question.choices, 1)]
    guess = f"[{question.guess}] " if question.guess else ""
    lines = [f"({waiting}) {question.text}", *choices, guess] if choices else [f"({waiting}) {question.text} {guess}"]
    line = answer_to("\n".join(lines))
    return line.strip() if line is not None else None
