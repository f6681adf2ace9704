"""`fightnotes serve`."""

from __future__ import annotations

import webbrowser
from typing import Annotated

import typer

from fightnotes.cli.options import LibraryOption, opened
from fightnotes.cli.output import say

HELP = "Show the library in a browser on this machine: search, play, decide, cut."
_PORT = 8642


def run(
    library: LibraryOption = None,
    port: Annotated[int, typer.Option(min=0, max=65535, metavar="N", help="The port; 0 for any that is free.")] = _PORT,
    browse: Annotated[bool, typer.Option("--browse", help="Open it in your browser.")] = False,
) -> None:
    from fightnotes.web.serving import serve

    library_opened = opened(library)

    def ready(address: str) -> None:
        say(f"{library_opened.root} is shown at {address}; Ctrl-C ends it")
        if browse:
            webbrowser.open(address)

    serve(library_opened.root, port, ready)
