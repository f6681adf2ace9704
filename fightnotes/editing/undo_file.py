"""An entry of the journal: one change of the library's files, as JSON that a person can read.

It is written before the first file changes and named `.begun` until the last one has; then it is an undo file,
named `.json`.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import re
from pathlib import Path

from pydantic import Field, ValidationError

from fightnotes.editing.line_edit import LineEdit
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model.bout import Record
from fightnotes.reading.opening import read_ordinary

FOLDER = "undo"
"""Where entries go in a library: not among what is derived, which may be deleted at any time."""
BEGUN = ".begun"
DONE = ".json"


class Digests(Record):
    """Of what a file holds before a change and after it; None where there is no file."""

    before: str | None
    after: str | None


class Undo(Record):
    title: str
    """What was changed, in words."""
    made: datetime.datetime
    edits: tuple[LineEdit, ...]
    """From the files as they are after the change back to those before."""
    again: tuple[LineEdit, ...] = ()
    """The other way."""
    files: dict[str, Digests] = Field(default_factory=dict)
    """By file, relative to the library; none in files of older versions."""
    folders: tuple[str, ...] = ()
    """Those that the change made, relative to the library, a folder before what lies in it."""
    takes_back: str | None = None
    """The name of the undo file that this change carries out and that goes with it; such a change leaves none."""


def digest_of(content: bytes | None) -> str | None:
    return None if content is None else hashlib.sha256(content).hexdigest()


def entry_path(root: Path, undo: Undo) -> Path:
    """Where the entry of a change that is begun goes. Names sort by time."""
    words = re.sub(r"[^\w]+", "-", undo.title).strip("-").casefold()[:60]
    return root / FOLDER / f"{undo.made.astimezone(datetime.UTC):%Y%m%dT%H%M%S.%fZ}-{words}{BEGUN}"


def mark_of(path: Path) -> str:
    """What temporary files of the change are named by."""
    return path.name.partition("-")[0]


def written(undo: Undo) -> bytes:
    content = undo.model_dump(mode="python") | {"made": undo.made.isoformat()}
    return json.dumps(content, default=vars, indent=1).encode("ascii") + b"\n"


def read_undo(path: Path) -> Undo:
    """Raises UnreadableFile where the file is missing or no undo file."""
    try:
        return Undo.model_validate(json.loads(read_ordinary(path)[0]))
    except OSError as error:
        raise UnreadableFile(Problem(path.name, 0, 0, error.strerror or str(error), "an undo file")) from error
    except json.JSONDecodeError as error:
        raise UnreadableFile(Problem(path.name, error.lineno, error.colno, error.msg, "an undo file")) from error
    except (UnicodeDecodeError, ValidationError) as error:
        first = str(error).splitlines()[0]
        raise UnreadableFile(Problem(path.name, 0, 0, first, "an undo file")) from error
