"""The family of errors, each with what a caller can do about it.

FightnotesError
├── UsageError            wrong words on the way in: correct the call
│   ├── LibraryNotFound   no such folder: name another
│   └── UnknownName       a fighter, concept, bout or field value that the library does not know
├── UnreadableFile        a text file that could not be read: see its place
├── ModelError            the embedding model is missing or not the one expected
├── StoreError            the derived store cannot serve: build again, or see why
│   ├── StoreMissing      never built
│   ├── StoreOutdated     made by another version or another model
│   ├── StoreTorn         damaged on disk
│   └── StoreUnreachable  the server of a shared store is gone or refuses: see why
├── OpeningError          a moment that no editor or player could be given: see what is to be set
└── ExportError           a cut list, a render or another output that could not be made or written

A `Problem` is not raised: it is collected while the rest of a library is read.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

ProblemKind = Literal[
    "unreadable", "unknown-fighter", "unknown-value", "vocabulary-condition", "impossible-time", "clock-direction"
]  # fmt: skip
"""What is wrong: text that cannot be read as what should stand there; a fighter in `by` or `on` who is not in the bout;
an outcome, target or stance that is not in the list; a breach of what the vocabulary must keep; a time that the
recording or the round cannot have; or round clocks that run the other way than the bout says."""


@dataclass(frozen=True, order=True)
class Problem:
    """Something wrong at a place in a text file; the rest of the file is still read."""

    file: str
    """Path relative to the library, with forward slashes."""
    line: int
    """From 1; 0 where the file could not be read at all."""
    column: int
    """From 1, in characters; 0 as for line."""
    found: str
    expected: str
    kind: ProblemKind = "unreadable"

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}:{self.column}" if self.line else self.file
        return f"{place}: found {self.found}, expected {self.expected}"


class FightnotesError(Exception):
    """Base of all errors that reach a caller; `exit_status` is what a command ends with."""

    exit_status = 1


class UsageError(FightnotesError):
    """The call itself is wrong."""

    exit_status = 2


class LibraryNotFound(UsageError):
    """There is no library at the path given."""


class UnknownName(UsageError):
    """A name that the library does not know; the message offers the nearest that it does."""


class UnreadableFile(FightnotesError):
    """A file that this job cannot do without could not be read."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


class ModelError(FightnotesError):
    """The embedding model is missing, or not the one that was asked for."""


class StoreError(FightnotesError):
    """The derived store cannot answer; a build mends it."""


class StoreMissing(StoreError):
    """The library was never built."""


class StoreOutdated(StoreError):
    """The store was made by another version of the program or with another model."""


class StoreTorn(StoreError):
    """The store is damaged on disk."""


class StoreUnreachable(StoreError):
    """The server of a shared store does not answer, or gives no right to what was asked; no build mends that."""


class OpeningError(FightnotesError):
    """A moment could not be given to an editor or a player."""


class ExportError(FightnotesError):
    """A cut list could not be written or rendered, or an output would go over a file that must stay."""
