"""Printing: results on standard output, everything else on standard error."""

from __future__ import annotations

import csv
import json
import os
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fightnotes.library import Library


def say(message: str) -> None:
    """A message to the person, on standard error."""
    print(message, file=sys.stderr)


def say_notices(library: Library) -> None:
    """Whether the index is older than the files, and whether there is a vocabulary."""
    for notice in library.notices():
        say(notice)


def print_result(
    format: str,
    *,
    document: Any,
    columns: Sequence[str],
    rows: Iterable[Mapping[str, Any]],
    table: Callable[[], None],
) -> None:
    """A result in the form asked for: `json` is one document, `csv` these columns of the rows, else the table.

    The CSV (RFC 4180) has a header; several values of one field are parted by spaces.
    """
    if format == "json":
        print_json(document)
    elif format == "csv":
        writer = csv.writer(sys.stdout)
        writer.writerow(columns)
        for row in rows:
            cells = (row[column] for column in columns)
            writer.writerow([" ".join(cell) if isinstance(cell, list) else cell for cell in cells])
    else:
        table()


def print_json(document: Any) -> None:
    json.dump(document, sys.stdout, ensure_ascii=False, indent=2)
    sys.stdout.write("\n")


PROBLEM_COLUMNS = ("file", "line", "column", "found", "expected", "kind")


def print_table(header: Sequence[str], rows: Iterable[Sequence[str]], *, wide: int | None = None) -> None:
    """A table as wide as the terminal; the column `wide` takes the room that is left."""
    from rich.box import SIMPLE_HEAD
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    table = Table(box=SIMPLE_HEAD, pad_edge=False, show_edge=False)
    for index, title in enumerate(header):
        table.add_column(title, ratio=1 if index == wide else None, overflow="fold", no_wrap=False)
    for row in rows:
        table.add_row(*(Text(value) for value in row))
    Console(width=_width(), highlight=False).print(table)


def _width() -> int | None:
    """None for that of the terminal."""
    return None if sys.stdout.isatty() or "COLUMNS" in os.environ else 140
