"""`fightnotes draft`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fightnotes.cli.asking import AnswerOption, AskOption, ask_all, ask_to_write, is_asking, pairs_of
from fightnotes.cli.changes import ChangeFormatOption, DryRunOption, as_json, say_made, show_diff
from fightnotes.cli.options import LibraryOption, say_cut_off
from fightnotes.cli.output import print_json, say, say_problem
from fightnotes.errors import UsageError

if TYPE_CHECKING:
    from fightnotes.library import Library
    from fightnotes.starting.draft import Drafting
    from fightnotes.starting.talks import Talk

HELP = "Draft notes from a caption file of a spoken breakdown: times kept, words put right, ready to edit."
_FIRST = 5


def run(
    captions: Annotated[
        Path,
        typer.Argument(metavar="CAPTIONS", help="The caption file (.vtt, .srt) or timed text (.txt), in the library."),
    ],
    library: LibraryOption = None,
    to: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Write the notes to this file; else beside the library's other notes.",
            show_default=False,
        ),
    ] = None,
    keep: Annotated[
        bool, typer.Option("--keep", help="Leave the captions among the bout's sources, beside the notes.")
    ] = False,
    ask: AskOption = None,
    answer: AnswerOption = None,
    dry_run: DryRunOption = False,
    format: ChangeFormatOption = "diff",
) -> None:
    from fightnotes.library import folder_to_start

    opened = folder_to_start(library)
    say_cut_off(opened)
    talk = opened.talk(captions)
    if talk.drafted is not None:
        _say_drafted(talk, format)
        return
    asking = is_asking(ask, format)
    drafting = _planned(opened, talk, to, keep, asking, answer)
    diff = opened.diff(drafting.plan)
    if format == "diff":
        show_diff(diff)
    if asking and not dry_run:
        ask_to_write()
    undo_file = None if dry_run else opened.apply(drafting.plan)
    if format == "json":
        print_json({**as_json(opened, drafting.plan, undo_file), **_rest_as_json(drafting)})
    _tell(drafting, dry_run)
    if drafting.problems:
        raise typer.Exit(1)


def _planned(
    library: Library, talk: Talk, to: Path | None, keep: bool, asking: bool, answer: list[str] | None
) -> Drafting:
    """Raises UsageError for answers where nothing is asked, as the bout that names the talk has told it all."""
    if talk.bout is not None:
        if answer:
            raise UsageError(f"--answer: nothing is asked, as {talk.bout.file} names {talk.file} already")
        return library.plan_draft(talk, to, keep)
    found = library.survey_talk(talk)
    answers = library.talk_answers(found, pairs_of(answer))
    if asking:
        ask_all(
            answers,
            lambda known: library.talk_questions(found, known),
            lambda given: library.talk_answers(found, given),
        )
    return library.plan_first_draft(found, answers, to, keep)


def _tell(drafting: Drafting, dry_run: bool) -> None:
    plan = drafting.plan
    for problem in drafting.problems[:_FIRST]:
        say_problem(problem)
    if len(drafting.problems) > _FIRST:
        say(f"and {len(drafting.problems) - _FIRST} more that could not be read")
    if drafting.questions:
        say(f"not asked: {len(drafting.questions)}, such as '{drafting.questions[0].text}'; --ask asks")
    repaired = len(drafting.put_right)
    doubtful = f"{len(drafting.doubts)} doubtful: search for [?" if drafting.doubts else "none doubtful"
    moments = f"{_count(len(drafting.moments), 'moment')} for {drafting.bout.file}"
    say(f"{moments}; {_count(repaired, 'mishearing')} put right, {doubtful}")
    if dry_run:
        say(f"dry run: {plan.title}; nothing is written")
    else:
        say_made(plan)
        say("run `fightnotes build`; then `fightnotes suggest` has tags and fields for them")


def _say_drafted(talk: Talk, format: str) -> None:
    say(f"{talk.file} is drafted already, in {talk.drafted}: nothing to change")
    if format == "json":
        nothing: dict[str, object] = {"title": f"draft {talk.drafted}", "edits": [], "notes": [], "undo_file": None}
        print_json({**nothing, "file": talk.drafted})


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _rest_as_json(drafting: Drafting) -> dict[str, object]:
    return {
        "file": drafting.file,
        "bout": drafting.bout.id,
        "moments": len(drafting.moments),
        "put_right": [
            {"line": moment.line, "heard": heard, "meant": meant} for moment, heard, meant in drafting.put_right
        ],
        "doubtful": [
            {"line": drafting.moments[one.moment].line, "heard": one.heard, "meant": one.meant, "score": one.score}
            for one in drafting.doubts
        ],
        "questions": [question.model_dump() for question in drafting.questions],
        "problems": [str(problem) for problem in drafting.problems],
    }
