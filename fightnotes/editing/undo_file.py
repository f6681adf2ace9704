"""The undo file: line edits that take an applied change back, as JSON that a person can read."""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Iterable
from pathlib import Path

from pydantic import ValidationError

from fightnotes.editing.atomic import write_file
from fightnotes.editing.line_edit import LineEdit, apply_edits
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model.bout import Record

FOLDER = "undo"
"""Where undo files go in a library: not among what is derived, which may be deleted at any time."""


class Undo(Record):
    title: str
    """What it takes back, in words."""
    made: datetime.datetime
    edits: tuple[LineEdit, ...]


def write_undo(root: Path, title: str, edits: Iterable[LineEdit], made: datetime.datetime) -> Path:
    """Write what `apply_edits` gave back into the library's undo folder; gives the file's path.

    `made` is a time with its zone. Names sort by time. Raises FightnotesError where it cannot be written.
    """
    words = re.sub(r"[^\w]+", "-", title).strip("-").casefold()[:60]
    stem = f"{made.astimezone(datetime.UTC):%Y%m%dT%H%M%S.%fZ}-{words}"
    path = root / FOLDER / f"{stem}.json"
    undo = Undo(title=title, made=made, edits=tuple(edits))
    content = json.dumps(undo.model_dump(mode="python") | {"made": made.isoformat()}, default=vars, indent=1)
    write_file(path, content.encode("ascii") + b"\n")
    return path


def read_undo(path: Path) -> Undo:
    """Raises UnreadableFile where the file is missing or no undo file."""
    try:
        return Undo.model_validate(json.loads(path.read_bytes()))
    except OSError as error:
        raise UnreadableFile(Problem(path.name, 0, 0, error.strerror or str(error), "an undo file")) from error
    except json.JSONDecodeError as error:
        raise UnreadableFile(Problem(path.name, error.lineno, error.colno, error.msg, "an undo file")) from error
    except (UnicodeDecodeError, ValidationError) as error:
        first = str(error).splitlines()[0]
        raise UnreadableFile(Problem(path.name, 0, 0, first, "an undo file")) from error


def undo(root: Path, path: Path) -> tuple[LineEdit, ...]:
    """Take back what the undo file says, all or nothing; gives the edits that would do it again.

    Raises UnreadableFile where a line was changed since.
    """
    return apply_edits(root, read_undo(path).edits)
