"""The program `fightnotes`: its commands, and how an error ends it."""

from __future__ import annotations

from typing import Any

import typer
from typer.core import TyperGroup

from fightnotes.cli import audit, build, check, cut, find, propose, render, start, suggest, vocabulary
from fightnotes.cli.output import say
from fightnotes.errors import FightnotesError


class Commands(TyperGroup):
    """Ends with 0 when done, 1 when the job found problems, 2 for wrong usage."""

    def invoke(self, ctx: Any) -> Any:  # the type of a context changes place between typer's versions
        try:
            return super().invoke(ctx)
        except FightnotesError as error:
            say(f"fightnotes: {error}")
            raise typer.Exit(error.exit_status) from error


app = typer.Typer(
    cls=Commands,
    name="fightnotes",
    help="A searchable knowledge base from a film analyst's own timed notes and transcripts.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
app.command(name="start", help=start.HELP)(start.run)
app.command(name="check", help=check.HELP)(check.run)
app.command(name="build", help=build.HELP)(build.run)
app.command(name="find", help=find.HELP)(find.run)
app.command(name="cut", help=cut.HELP)(cut.run)
app.command(name="render", help=render.HELP)(render.run)
app.command(name="propose", help=propose.HELP)(propose.run)
app.add_typer(vocabulary.app, name="vocabulary")
app.command(name="suggest", help=suggest.HELP)(suggest.run)
app.command(name="audit", help=audit.HELP)(audit.run)
