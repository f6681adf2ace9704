"""`fightnotes start`."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fightnotes.cli.asking import AnswerOption, AskOption, ask_all, ask_to_write, is_asking, pairs_of
from fightnotes.cli.changes import ChangeFormatOption, DryRunOption, as_json, say_made, show_diff
from fightnotes.cli.options import LibraryOption, say_cut_off
from fightnotes.cli.output import print_json, say
from fightnotes.errors import UsageError

if TYPE_CHECKING:
    from fightnotes.library import Library
    from fightnotes.starting.folder import LeftAlone
    from fightnotes.starting.plan import Beginning
    from fightnotes.starting.survey import Survey

HELP = "Make a library of a folder of notes: settings and front matter, from what the files tell and you answer."
_FIRST_FILES = 3


def run(
    folder: Annotated[
        Path | None,
        typer.Argument(
            metavar="FOLDER",
            help="The folder with the notes; else that of --library, the nearest library, or the current folder.",
            show_default=False,
        ),
    ] = None,
    library: LibraryOption = None,
    ask: AskOption = None,
    answer: AnswerOption = None,
    dry_run: DryRunOption = False,
    format: ChangeFormatOption = "diff",
) -> None:
    from fightnotes.cli.progress import TerminalProgress

    opened = _opened(folder, library)
    with TerminalProgress() as progress:
        survey = opened.survey(progress)
    answers = opened.start_answers(survey, pairs_of(answer))
    asking = is_asking(ask, format)
    if asking:
        ask_all(
            answers,
            lambda known: opened.start_questions(survey, known),
            lambda given: opened.start_answers(survey, given),
        )
    beginning = opened.plan_beginning(survey, answers)
    diff = opened.diff(beginning.plan)
    if format == "diff":
        show_diff(diff)
    making = bool(beginning.plan.edits) and not dry_run
    if making and asking:
        ask_to_write()
    undo_file = opened.apply(beginning.plan) if making else None
    if format == "json":
        print_json({**as_json(opened, beginning.plan, undo_file), **_rest_as_json(beginning)})
    _tell(beginning, dry_run, survey)
    if survey.unreadable:
        for problem in survey.unreadable:
            say(str(problem))
        raise typer.Exit(1)


def _opened(folder: Path | None, library: Path | None) -> Library:
    """Raises UsageError where two folders are named, or the one that is named lies inside a library."""
    from fightnotes.library import folder_to_start

    if folder is not None and library is not None:
        raise UsageError("name the folder once: as FOLDER or with --library")
    opened = folder_to_start(folder or library)
    say_cut_off(opened)
    return opened


def _tell(beginning: Beginning, dry_run: bool, survey: Survey) -> None:
    plan = beginning.plan
    for note in plan.notes:
        say(note)
    for sentence in _left_in_words(beginning.left):
        say(sentence)
    if not plan.edits:
        begun = f"{len(survey.begun)} {'bout is' if len(survey.begun) == 1 else 'bouts are'} begun"
        say(f"nothing to change: {begun}, and no other file is notes of a bout")
        return
    if beginning.questions:
        say(f"not asked: {len(beginning.questions)}, such as '{beginning.questions[0].text}'; --ask asks")
    if dry_run:
        say(f"dry run: {plan.title}; nothing is written")
    else:
        say_made(plan)
        say("run `fightnotes check` to see what is understood")


def _left_in_words(left: Iterable[LeftAlone]) -> list[str]:
    """A sentence a reason, with the first files."""
    counts = Counter(one.reason for one in left)
    sentences = []
    for reason, count in counts.most_common():
        files = [one.file for one in left if one.reason == reason][:_FIRST_FILES]
        more = ", ..." if count > len(files) else ""
        sentences.append(f"left alone, {reason}: {count} ({', '.join(files)}{more})")
    return sentences


def _rest_as_json(beginning: Beginning) -> dict[str, object]:
    return {
        "bouts": list(beginning.bouts),
        "questions": [question.model_dump() for question in beginning.questions],
        "left_alone": [one.model_dump() for one in beginning.left],
    }
