"""The streams of the program: any encoding of standard output and error, and a reader that goes away."""

from __future__ import annotations

import codecs
import io
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import NoReturn

from fightnotes.errors import FightnotesError

CLOSED_PIPE = 141
"""Exit status where the reader of the output went away: 128 and the number of SIGPIPE, as a shell tells it."""
INTERRUPTED = 130
"""Exit status after the interrupt key: 128 and the number of SIGINT."""

_PLAIN = {
    "“": '"', "”": '"', "‘": "'", "’": "'", "…": "...", "–": "-", "—": "-", "─": "-", "→": "->", "×": "x", "•": "*",
    "\u00a0": " ",
}  # fmt: skip
_HANDLER = "fightnotes"
_DEFAULTS = ("strict", "surrogateescape", "backslashreplace")
"""What Python sets where nobody asked for anything; what else PYTHONIOENCODING names is kept."""


def ready_streams() -> None:
    """A character that the encoding lacks is written in a plain form, or as an escape, and ends no command.

    A stream that the shell closed (`>&-`) takes everything and shows nothing.
    """
    codecs.register_error(_HANDLER, _in_plain_form)
    sys.stdout, sys.stderr = (stream or io.StringIO() for stream in (sys.stdout, sys.stderr))
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and stream.errors in _DEFAULTS:
            stream.reconfigure(errors=_HANDLER)


def write_out(text: str) -> None:
    """To standard output. Raises BrokenPipeError where its reader went away, FightnotesError where it takes no more."""
    with _faults_said():
        sys.stdout.write(text)


def flush_output() -> None:
    """Raises as `write_out` does."""
    with _faults_said():
        sys.stdout.flush()


def end_at_once() -> NoReturn:
    """Ends the program well without waiting for its threads: what they write is written whole or not at all."""
    try:
        flush_output()
        sys.stderr.flush()
    finally:
        os._exit(0)


@contextmanager
def _faults_said() -> Iterator[None]:
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        drop_output()
        raise FightnotesError(f"standard output: {error.strerror}") from error


def drop_output() -> None:
    """Nothing more is written: what still waits would fail again when Python ends."""
    nothing = os.open(os.devnull, os.O_WRONLY)
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except OSError:
            os.dup2(nothing, stream.fileno())
    os.close(nothing)


def _in_plain_form(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lacking = error.object[error.start : error.end]
    return "".join(_PLAIN.get(sign) or sign.encode("unicode_escape").decode() for sign in lacking), error.end
