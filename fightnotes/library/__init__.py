"""A library, held open: one method for each thing that can be done with it. Prints nothing."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.errors import LibraryNotFound, UsageError
from fightnotes.library.auditing import Auditing
from fightnotes.library.briefing import Briefing
from fightnotes.library.changing import Changing
from fightnotes.library.cut_lists import CutLists
from fightnotes.library.deciding import Deciding
from fightnotes.library.first_hour import FirstHour
from fightnotes.library.reels import Reels
from fightnotes.library.searching import Searching
from fightnotes.library.tallying import Tallying

if TYPE_CHECKING:
    from fightnotes.audit.finding import Severity
    from fightnotes.audit.rules import Rule
    from fightnotes.cutting import Export
    from fightnotes.tally.dimensions import DimensionName


class Library(FirstHour, Searching, Tallying, Briefing, Reels, CutLists, Changing, Deciding, Auditing):
    """All of it, by subject in a module each; `Opened` is what they stand on."""


def open_library(path: str | Path, store: str | None = None) -> Library:
    """The library in a folder, which need not hold anything yet; `store` is the URL of a shared store, if its index is
    to be asked. Raises LibraryNotFound where there is no folder, UsageError for what is no URL."""
    return Library(Path(path), store)


def nearest_library(folder: Path, store: str | None = None) -> Library:
    """The library that a folder lies in: it or the nearest above it with a `library.yaml`. Raises LibraryNotFound."""
    from fightnotes.reading.library import find_root

    return Library(find_root(folder), store)


def library_to_read(folder: Path, store: str) -> Library:
    """The same for whoever asks a shared store; where there is none the folder itself, for its files are not needed."""
    try:
        return nearest_library(folder, store)
    except LibraryNotFound:
        return Library(folder, store)


def folder_to_start(named: Path | None) -> Library:
    """The folder to make a library of: the one named, else the nearest library, else the current folder.

    Raises LibraryNotFound where there is no such folder, UsageError for one that lies inside a library.
    """
    library = Library(named or Path.cwd())
    try:
        around = nearest_library(library.root)
    except LibraryNotFound:
        return library
    if named is not None and around.root != named.resolve():
        raise UsageError(f"{named} lies inside the library {around.root}: start that one")
    return around


def audit_severities() -> tuple[Severity, ...]:
    """How heavy a finding can be, the heaviest first."""
    from fightnotes.audit.finding import SEVERITIES

    return SEVERITIES


def audit_rules() -> tuple[Rule, ...]:
    """The rules of the audit, in the order in which they run."""
    from fightnotes.audit.rules import RULES

    return RULES


def dimension_names() -> tuple[DimensionName, ...]:
    """By what acts can be counted."""
    from fightnotes.tally.dimensions import DIMENSIONS

    return tuple(dimension.name for dimension in DIMENSIONS.values())


def export_formats() -> tuple[Export, ...]:
    """The formats in which a cut list can be written."""
    from fightnotes.cutting import EXPORTS

    return EXPORTS


def export_names() -> tuple[str, ...]:
    """What they are called."""
    return tuple(known.name for known in export_formats())
