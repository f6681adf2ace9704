"""A hit in the editor or the player: programs that the environment names, started without a shell.

`library.yaml` names none: a library may come from somebody else, whose commands are not to be run.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.cli.output import say
from fightnotes.cli.streams import flush_output
from fightnotes.errors import OpeningError, UnreadableFile

if TYPE_CHECKING:
    from fightnotes.library import Library
    from fightnotes.search.hit import Hit

_EDITOR, _PLAYER = "FIGHTNOTES_EDITOR", "FIGHTNOTES_PLAYER"
_SET_EDITOR = f"set VISUAL or EDITOR to one, or {_EDITOR} to a command such as 'vim +{{line}} {{file}}'"
_SET_PLAYER = f"set {_PLAYER} to a command such as 'ffplay -ss {{seconds}} {{file}}'"

_PLUS_LINE = ("+{line}", "{file}")
_COLON_LINE = ("{file}:{line}",)
_LINE_FORMS: dict[str, Sequence[str]] = {
    **dict.fromkeys(
        ("vi", "vim", "nvim", "gvim", "nano", "pico", "emacs", "emacsclient", "micro", "joe", "mg", "ne", "jed", "kak",
         "gedit"),
        _PLUS_LINE,
    ),
    **dict.fromkeys(("hx", "helix", "subl", "zed"), _COLON_LINE),
    **dict.fromkeys(("code", "codium"), ("--goto", *_COLON_LINE)),
    "kate": ("--line", "{line}", "{file}"),
}  # fmt: skip
"""How editors are told the line, by the name of the program: common practice, no source."""
_BLANK = re.compile(r"\{(file|line|seconds)\}")


def open_note(library: Library, hit: Hit) -> None:
    """The note in the editor, at the line where it stands now. Raises OpeningError."""
    segment = hit.segment
    file, line = library.root / segment.file, segment.line
    if segment.kind == "note":
        try:
            line, _ = library.moment_now(segment)
        except UnreadableFile as error:
            say(f"opened where it stood at the last build: {error}")
    _run(_editor(os.environ), {"file": str(file), "line": str(line)}, _SET_EDITOR)


def play_recording(library: Library, hit: Hit) -> None:
    """The recording of the moment in the player, from where it begins. Raises OpeningError."""
    template = os.environ.get(_PLAYER, "")
    if not template.strip():
        raise OpeningError(f"no player is named: {_SET_PLAYER}")
    file, start = library.place_to_play(hit)
    _run(_words(template, _PLAYER), {"file": str(file), "seconds": f"{float(start):.3f}"}, _SET_PLAYER)


def _editor(environment: Mapping[str, str]) -> list[str]:
    """The words of the command, with blanks to fill in."""
    if (template := environment.get(_EDITOR, "")).strip():
        return _words(template, _EDITOR)
    for name in ("VISUAL", "EDITOR"):
        if (named := environment.get(name, "")).strip():
            words = _split(named, name)
            form = _LINE_FORMS.get(Path(words[0]).name)
            if form is None:
                say(f"how {words[0]} is told the line is not known: {_EDITOR} can say it")
            return [*words, *(form or ("{file}",))]
    raise OpeningError(f"no editor is named: {_SET_EDITOR}")


def _words(template: str, name: str) -> list[str]:
    words = _split(template, name)
    if not any("{file}" in word for word in words):
        raise OpeningError(f"{name} has no {{file}} in it")
    return words


def _split(command: str, name: str) -> list[str]:
    """Words as a POSIX shell parts them, and nothing else that a shell would do."""
    try:
        return shlex.split(command)
    except ValueError as error:
        raise OpeningError(f"{name} cannot be read, {str(error).lower()}: {command}") from error


def _run(words: Sequence[str], values: Mapping[str, str], remedy: str) -> None:
    command = [_BLANK.sub(lambda blank: values.get(blank[1], blank[0]), word) for word in words]
    flush_output()
    try:
        status = subprocess.run(command, check=False).returncode
    except OSError as error:
        raise OpeningError(f"{command[0]} cannot be started, {error.strerror}: {remedy}") from error
    if status:
        raise OpeningError(f"{command[0]} ended with {status}")
