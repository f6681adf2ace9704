"""`fightnotes serve`."""

from __future__ import annotations

import webbrowser
from contextlib import suppress
from typing import TYPE_CHECKING, Annotated

import typer

from fightnotes.cli.interrupts import interrupts
from fightnotes.cli.options import LibraryOption, StoreOption, opened
from fightnotes.cli.output import say, say_problem
from fightnotes.cli.streams import end_at_once

if TYPE_CHECKING:
    from fightnotes.library import Library

HELP = "Show the library in a browser on this machine: search, play, decide, cut."
_PORT = 8642


def run(
    library: LibraryOption = None,
    store: StoreOption = None,
    port: Annotated[int, typer.Option(min=0, max=65535, metavar="N", help="The port; 0 for any that is free.")] = _PORT,
    browse: Annotated[bool, typer.Option("--browse", help="Open it in your browser.")] = False,
) -> None:
    """The interrupt key is how serving ends, so it ends well."""
    with interrupts() as came:
        with suppress(KeyboardInterrupt):
            _serve(opened(library, store), port, browse, came)
        try:
            say("serving ended")
        finally:
            end_at_once()


def _serve(library: Library, port: int, browse: bool, came: list[int]) -> None:
    from fightnotes.cli.progress import TerminalProgress
    from fightnotes.web.kept import KeptLibrary
    from fightnotes.web.serving import listen, serve

    def ready(address: str) -> None:
        say(f"{library.root} is shown at {address}; Ctrl-C ends it")
        if browse and not webbrowser.open(address):
            say("no browser could be opened: go to the address yourself")

    with listen(port) as listening:
        with TerminalProgress() as progress:
            kept = KeptLibrary(library.root, progress, library.shared)
        for problem in kept.problems:
            say_problem(problem)
        if not came:
            serve(kept, listening, ready)
