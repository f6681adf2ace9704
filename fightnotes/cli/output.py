"""Printing: results on standard output, everything else on standard error. No other module of a command prints."""

from __future__ import annotations

import csv
import json
import re
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from fightnotes.cli.streams import write_out
from fightnotes.visible import HIDDEN, inert_cell, visible, visible_line

if TYPE_CHECKING:
    from fightnotes.errors import Problem
    from fightnotes.library import Library


_NOTHING: Mapping[str, Iterable[str]] = MappingProxyType({})
_HIDDEN_OR_FOREIGN = re.compile(rf"{HIDDEN.pattern}|[^\x00-\x7f]")


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
    streamed: Mapping[str, Iterable[str]] = _NOTHING,
) -> None:
    """A result in the form asked for: `json` is one document, `csv` these columns of the rows, else the table.

    The CSV (RFC 4180) has a header; several values of one field are parted by spaces. Rows, and what is `streamed` in
    the document, are written as they come.
    """
    if format == "json":
        print_json(document, streamed)
    elif format == "csv":
        writer = csv.writer(_Output())
        writer.writerow(columns)
        writer.writerows([_cell(row[column]) for column in columns] for row in rows)
    else:
        table()


class _Output:
    """What `csv.writer` writes to."""

    def write(self, text: str) -> None:
        write_out(text)


def print_json(document: Any, streamed: Mapping[str, Iterable[str]] = _NOTHING) -> None:
    """ASCII alone where the encoding is not one of Unicode; what a terminal would obey is escaped in any case.

    `streamed` are members of the document that are lists, each item JSON with an indent of 2.
    """
    ascii_alone = not (sys.stdout.encoding or "utf-8").lower().startswith("utf")
    escaped = _HIDDEN_OR_FOREIGN if ascii_alone else HIDDEN
    for piece in _members(document, streamed) if streamed else [_dumped(document)]:
        write_out(escaped.sub(lambda sign: json.dumps(sign[0])[1:-1], piece))
    write_out("\n")


def _dumped(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, indent=2)


def _members(document: Mapping[str, Any], streamed: Mapping[str, Iterable[str]]) -> Iterator[str]:
    """The pieces of the text that `_dumped` would give of the whole."""
    for number, (name, value) in enumerate(document.items()):
        yield f"{',' if number else '{'}\n  {json.dumps(name)}: "
        if name not in streamed:
            yield _dumped(value).replace("\n", "\n  ")
            continue
        begun = False
        for item in streamed[name]:
            yield (",\n    " if begun else "[\n    ") + item.replace("\n", "\n    ")
            begun = True
        yield "\n  ]" if begun else "[]"
    yield "\n}"


PROBLEM_COLUMNS = ("file", "line", "column", "found", "expected", "kind")


def _cell(value: Any) -> Any:
    """A value of a CSV row; numbers stay as they are."""
    text = " ".join(value) if isinstance(value, list) else value
    return visible(inert_cell(text)) if isinstance(text, str) else text
