"""Printing: results on standard output, everything else on standard error. No other module of a command prints."""

from __future__ import annotations

import csv
import io
import json
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from fightnotes.cli.streams import write_out
from fightnotes.visible import HIDDEN, inert_cell, visible, visible_line

if TYPE_CHECKING:
    from fightnotes.errors import Problem
    from fightnotes.library import Library


def say(message: str) -> None:
    """A message to the person, on standard error."""
    print(visible(message), file=sys.stderr)


def ask(question: str) -> str | None:
    """The line that a person answers with, on standard input; None at its end."""
    print(visible(question), end="", file=sys.stderr, flush=True)
    return sys.stdin.readline() or None


def say_problem(problem: Problem) -> None:
    """A problem on a line of its own, whatever its file is called."""
    say(visible_line(str(problem)))


def say_notices(library: Library) -> None:
    """Whether the index is older than the files, and whether there is a vocabulary."""
    for notice in library.notices():
        say(notice)


def print_lines(lines: Iterable[str]) -> None:
    """Lines of a result."""
    for line in lines:
        write_out(visible(line) + "\n")


def print_file(text: str) -> None:
    """The content of a file, byte for byte; at a terminal it is shown instead, with what it hides."""
    write_out(visible(text) if sys.stdout.isatty() else text)


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
        text = io.StringIO(newline="")
        writer = csv.writer(text)
        writer.writerow(columns)
        writer.writerows([_cell(row[column]) for column in columns] for row in rows)
        write_out(text.getvalue())
    else:
        table()


def print_json(document: Any) -> None:
    """ASCII alone where the encoding is not one of Unicode; what a terminal would obey is escaped in any case."""
    ascii_alone = not (sys.stdout.encoding or "utf-8").lower().startswith("utf")
    text = json.dumps(document, ensure_ascii=ascii_alone, indent=2)
    write_out(HIDDEN.sub(lambda hidden: f"\\u{ord(hidden[0]):04x}", text) + "\n")


PROBLEM_COLUMNS = ("file", "line", "column", "found", "expected", "kind")


def _cell(value: Any) -> Any:
    """A value of a CSV row; numbers stay as they are."""
    text = " ".join(value) if isinstance(value, list) else value
    return visible(inert_cell(text)) if isinstance(text, str) else text
