"""The program `fightnotes`: its commands, and how it ends."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from importlib import import_module
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from fightnotes import __version__
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


def _print_version(asked: bool) -> None:
    if asked:
        print_lines([f"fightnotes {__version__}"])
        raise typer.Exit


COMMANDS = (
    "start", "draft", "check", "build", "find", "tally", "compare", "follow", "timeline", "answer", "sheet", "cut",
    "render", "propose", "vocabulary", "suggest", "audit", "serve",
)  # fmt: skip
"""Each is a module of `cli/`, in the order of the help."""


def program(names: Iterable[str] = COMMANDS) -> typer.Typer:
    """The program with these commands."""
    app = typer.Typer(
        cls=Commands,
        name="fightnotes",
        help="A searchable knowledge base from a film analyst's own timed notes and transcripts.",
        no_args_is_help=True,
        context_settings={"help_option_names": ["-h", "--help"]},
        pretty_exceptions_enable=False,
        rich_markup_mode=None,
    )
    app.callback()(_asked_of_the_program)
    for name in names:
        module = import_module(f"fightnotes.cli.{name}")
        if hasattr(module, "app"):  # has commands of its own
            app.add_typer(module.app, name=name)
        else:
            app.command(name=name, help=module.HELP)(module.run)
    return app


def program_for(words: Sequence[str]) -> typer.Typer:
    """What a command line needs: the command alone that it begins with, as to load all takes longer than most searches;
    else, where it asks for help or names none, all of them."""
    named = words[:1]
    return program(named if named and named[0] in COMMANDS else COMMANDS)


def _asked_of_the_program(
    version: Annotated[
        bool, typer.Option("--version", callback=_print_version, is_eager=True, help="Show the version and exit.")
    ] = False,
) -> None:
    """What is asked of the program itself."""
