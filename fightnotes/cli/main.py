"""The program `fightnotes`: its commands, and how it ends."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from fightnotes import __version__
from fightnotes.cli import (
    answer,
    audit,
    build,
    check,
    compare,
    cut,
    draft,
    find,
    follow,
    propose,
    render,
    serve,
    sheet,
    start,
    suggest,
    tally,
    timeline,
    vocabulary,
)
from fightnotes.cli.output import print_lines, say
from fightnotes.cli.streams import CLOSED_PIPE, INTERRUPTED, drop_output, flush_output, ready_streams
from fightnotes.errors import FightnotesError


class Commands(TyperGroup):
    """Ends with 0 when done, 1 when the job found problems, 2 for wrong usage; 130 and 141 where it was cut off."""

    def main(self, *words: Any, **settings: Any) -> Any:
        ready_streams()
        return super().main(*words, **settings)

    def make_context(self, *words: Any, **settings: Any) -> Any:  # prints the help
        with _ended_well():
            return super().make_context(*words, **settings)

    def invoke(self, ctx: Any) -> Any:  # the type of a context changes place between typer's versions
        with _ended_well():
            return super().invoke(ctx)


@contextmanager
def _ended_well() -> Iterator[None]:
    """Whatever ends the work gives a message and an exit status, and all that was printed is out before."""
    try:
        try:
            try:
                yield
            finally:
                flush_output()
        except FightnotesError as error:
            say(f"fightnotes: {error}")
            raise typer.Exit(error.exit_status) from error
        except KeyboardInterrupt:
            say("interrupted")
            raise typer.Exit(INTERRUPTED) from None
    except BrokenPipeError as error:
        drop_output()
        raise typer.Exit(CLOSED_PIPE) from error


app = typer.Typer(
    cls=Commands,
    name="fightnotes",
    help="A searchable knowledge base from a film analyst's own timed notes and transcripts.",
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"]},
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


def _print_version(asked: bool) -> None:
    if asked:
        print_lines([f"fightnotes {__version__}"])
        raise typer.Exit


@app.callback()
def program(
    version: Annotated[
        bool, typer.Option("--version", callback=_print_version, is_eager=True, help="Show the version and exit.")
    ] = False,
) -> None:
    """What is asked of the program itself."""


app.command(name="start", help=start.HELP)(start.run)
app.command(name="draft", help=draft.HELP)(draft.run)
app.command(name="check", help=check.HELP)(check.run)
app.command(name="build", help=build.HELP)(build.run)
app.command(name="find", help=find.HELP)(find.run)
app.command(name="tally", help=tally.HELP)(tally.run)
app.command(name="compare", help=compare.HELP)(compare.run)
app.command(name="follow", help=follow.HELP)(follow.run)
app.command(name="timeline", help=timeline.HELP)(timeline.run)
app.command(name="answer", help=answer.HELP)(answer.run)
app.command(name="sheet", help=sheet.HELP)(sheet.run)
app.command(name="cut", help=cut.HELP)(cut.run)
app.command(name="render", help=render.HELP)(render.run)
app.command(name="propose", help=propose.HELP)(propose.run)
app.add_typer(vocabulary.app, name="vocabulary")
app.command(name="suggest", help=suggest.HELP)(suggest.run)
app.command(name="audit", help=audit.HELP)(audit.run)
app.command(name="serve", help=serve.HELP)(serve.run)
