"""A SKOS file -> its graph -> what can be imported. Nothing is ever fetched."""

from __future__ import annotations

import json
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

from rdflib import Graph
from rdflib.plugins.parsers.notation3 import BadSyntax

from fightnotes.errors import Problem, UnknownName, UnreadableFile
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.text_file import decode, read_bytes
from fightnotes.vocabulary.skos_names import LANGUAGE
from fightnotes.vocabulary.skos_nodes import RELATIVE
from fightnotes.vocabulary.skos_read import Imported, vocabulary_of

_BY_ENDING = {".ttl": "turtle", ".jsonld": "json-ld", ".json": "json-ld"}
_NAMES = {"turtle": "Turtle", "json-ld": "JSON-LD"}


def format_of(path: Path) -> str:
    """The format that a file's ending stands for. Raises UnknownName."""
    if path.suffix.lower() not in _BY_ENDING:
        raise UnknownName(
            f"{path.name}: its ending tells no format: name turtle or json-ld, or end it with .ttl or .jsonld"
        )
    return _BY_ENDING[path.suffix.lower()]


def read_skos_file(path: Path, format: str | None, language: str) -> Imported:
    """As `import_skos`, in the format of the file's ending unless one is named.

    The file is UTF-8, with or without a byte order mark. Raises UnreadableFile, UnknownName, UsageError.
    """
    reporter = Reporter(str(path))
    raw = read_bytes(path, reporter)
    text = None if raw is None else decode(raw, reporter)
    if text is None or reporter.problems:
        raise UnreadableFile(reporter.problems[0])
    try:
        return import_skos(text, format or format_of(path), language)
    except UnreadableFile as error:
        raise UnreadableFile(replace(error.problem, file=str(path))) from error


def import_skos(text: str, format: str, language: str = LANGUAGE) -> Imported:
    """The sound concepts that the text holds, the others with the reason, and notes on all that is left out.

    Texts in the language range `language` and texts without a language are taken. Nothing is fetched: a JSON-LD
    context has to stand in the text. Raises UnreadableFile, UsageError.
    """
    graph = Graph(bind_namespaces="none")
    try:
        if format == "json-ld":
            _refuse_remote_context(text)
        with _without_remarks():
            graph.parse(data=text, format=format, publicID=RELATIVE)
    except BadSyntax as error:
        raise _unreadable(error.lines + 1, str(error.message), "Turtle") from error
    except RecursionError as error:
        raise _unreadable(1, "values too deep inside each other", f"{_NAMES[format]} that names its nodes") from error
    except (ValueError, LookupError, TypeError, AttributeError) as error:  # what rdflib's parsers let through
        raise _unreadable(1, str(error), _NAMES[format]) from error
    return vocabulary_of(graph, language)


@contextmanager
def _without_remarks() -> Iterator[None]:
    """rdflib logs what it thinks of an address or a value; the bad ones are named with their concept here."""
    logger = logging.getLogger("rdflib.term")
    logger.addFilter(_nothing)
    try:
        yield
    finally:
        logger.removeFilter(_nothing)


def _nothing(_: logging.LogRecord) -> bool:
    return False


def _refuse_remote_context(text: str) -> None:
    try:
        document = json.loads(text)
    except json.JSONDecodeError as error:
        raise _unreadable(error.lineno, error.msg, "JSON-LD", error.colno) from error
    if not isinstance(document, dict | list):
        raise _unreadable(1, type(document).__name__, "a JSON-LD document")
    waiting: list[Any] = [document]
    while waiting:
        here = waiting.pop()
        if isinstance(here, list):
            waiting += here
        elif isinstance(here, dict):
            contexts = here.get("@context", [])
            for context in contexts if isinstance(contexts, list) else [contexts]:
                if isinstance(context, str) or (isinstance(context, dict) and "@import" in context):
                    raise _unreadable(1, f"a context elsewhere, {context}", "the context in the document itself")
            waiting += here.values()


def _unreadable(line: int, found: str, expected: str, column: int = 1) -> UnreadableFile:
    return UnreadableFile(Problem("SKOS", line, column, " ".join(found.split())[:200], expected))
