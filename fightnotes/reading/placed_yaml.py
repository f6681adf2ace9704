"""YAML 1.2 with the place of every value, so that each complaint can name line and column.

Scalars stay text: what a value must look like is for the reader of the key to say, and
`3:00`, `007` or `no` never turn into something that the analyst did not write.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TypeVar

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, ReusedAnchorWarning, YAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode
from ruamel.yaml.reader import ReaderError

from fightnotes.errors import Problem, ProblemKind
from fightnotes.reading.excerpt import excerpt

T = TypeVar("T")
_NULL = "tag:yaml.org,2002:null"
_DEEPEST = 40
_MOST = 200_000
_NEWLINE = re.compile(r"\r\n?|\n")
_ONE_LINE = {0x85: " ", 0x2028: " ", 0x2029: " "}
"""What a YAML reader may count as line ends and an editor does not."""
_UNUSABLE = re.compile("[\0\ud800-\udfff]")
"""Characters that an escape can write and no text may hold: NUL, and halves of surrogate pairs (Unicode 16, 3.9)."""
_TOP_LEVEL_KEY = re.compile(r"[^\W\d]\w*[ \t]*:(?:\s|$)")


@dataclass(frozen=True)
class Item:
    """A value with its place; exactly one of `text`, `items` and `entries` is set, none for null."""

    line: int
    column: int
    text: str | None = None
    items: tuple[Item, ...] | None = None
    entries: tuple[tuple[Item, Item], ...] | None = None

    @property
    def empty(self) -> bool:
        return self.text is None and self.items is None and self.entries is None

    def shown(self) -> str:
        """What stands there, for a message."""
        if self.text is not None:
            return excerpt(self.text)
        if self.items is not None:
            return "a list"
        return "nothing" if self.empty else "a mapping"


@dataclass
class Reporter:
    """Collects the problems of one file."""

    file: str
    problems: list[Problem] = field(default_factory=list)

    def at(self, line: int, column: int, found: str, expected: str, kind: ProblemKind = "unreadable") -> None:
        self.problems.append(Problem(self.file, line, column, found, expected, kind))

    def of(self, item: Item, expected: str, found: str | None = None, kind: ProblemKind = "unreadable") -> None:
        self.at(item.line, item.column, found or item.shown(), expected, kind)


def read_yaml(text: str, reporter: Reporter, first_line: int = 1) -> Item | None:
    """The document's root, or None where it is empty or nothing in it is YAML.

    Where the document is broken, the top-level keys that read on their own are the root, and those that do
    not are reported. `first_line` is the file's line on which `text` begins.
    """
    lines = _NEWLINE.split(text.translate(_ONE_LINE))
    whole = _Fragment(lines, first_line)
    read = whole.read(reporter)
    if isinstance(read, Item) or read is None:
        return read
    fragments = _top_level(lines, first_line)
    readings = [fragment.read(reporter) for fragment in fragments]
    faults = [reading for reading in readings if isinstance(reading, Problem)]
    reporter.problems.extend(faults or [read])
    entries = [entry for reading in readings if isinstance(reading, Item) for entry in reading.entries or ()]
    return Item(first_line, 1, entries=tuple(entries)) if entries else None


@dataclass(frozen=True)
class _Fragment:
    """Lines of a file that are read as one YAML document."""

    lines: list[str]
    first_line: int

    def read(self, reporter: Reporter) -> Item | Problem | None:
        """The root, None where there is none, or what is wrong with the whole."""
        text, file = "\n".join(self.lines), reporter.file
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore", ReusedAnchorWarning)  # the later holds (YAML 1.2.2, 7.1)
                node = YAML(typ="safe", pure=True).compose(text)
            if node is None:
                return None
            escapes = Reporter(reporter.file)
            root = _Builder(self.first_line, max(_MOST, len(text)), escapes).item(node, 0)
            reporter.problems += escapes.problems
            return root
        except MarkedYAMLError as error:
            mark = error.problem_mark or error.context_mark
            line, column = (mark.line, mark.column) if mark else (0, 0)
            return self._problem(file, line, column, f"broken YAML ({error.problem})")
        except ReaderError as error:
            before = text[: error.position].split("\n")
            return self._problem(file, len(before) - 1, len(before[-1]), f"character U+{error.character:04X}")
        except RecursionError:
            return self._problem(file, 0, 0, "values too deep inside each other")
        except (YAMLError, ValueError) as error:
            return self._problem(file, 0, 0, f"broken YAML ({error})")

    def _problem(self, file: str, line: int, column: int, found: str) -> Problem:
        return Problem(file, self.first_line + line, column + 1, " ".join(found.split()), "YAML 1.2")


def _top_level(lines: list[str], first_line: int) -> list[_Fragment]:
    """The lines from each top-level key up to the next; what stands before the first key is left out."""
    begins = [index for index, line in enumerate(lines) if _TOP_LEVEL_KEY.match(line)]
    return [_Fragment(lines[here:there], first_line + here) for here, there in pairwise([*begins, len(lines)])]


class _Builder:
    """Turns nodes into items. Raises ValueError where aliases make a small text a boundless tree.

    Without aliases no text holds more values than characters.
    """

    def __init__(self, first_line: int, most: int, reporter: Reporter) -> None:
        self._first_line = first_line
        self._most = most
        self._reporter = reporter
        self._made = 0

    def item(self, node: Node, depth: int) -> Item:
        self._made += 1
        if depth > _DEEPEST or self._made > self._most:
            raise ValueError(f"over {_DEEPEST} levels or {self._most} values")
        line, column = node.start_mark.line + self._first_line, node.start_mark.column + 1
        if isinstance(node, ScalarNode):
            return Item(line, column, text=None if node.tag == _NULL else self._text(str(node.value), line, column))
        if isinstance(node, SequenceNode):
            return Item(line, column, items=tuple(self.item(child, depth + 1) for child in node.value))
        assert isinstance(node, MappingNode)
        entries = ((self.item(key, depth + 1), self.item(value, depth + 1)) for key, value in node.value)
        return Item(line, column, entries=tuple(entries))

    def _text(self, written: str, line: int, column: int) -> str:
        """Two escapes that are a surrogate pair become its character, as in JSON; what no text may hold, U+FFFD."""
        if not _UNUSABLE.search(written):
            return written
        paired = written.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "surrogatepass")
        for found in _UNUSABLE.findall(paired):
            self._reporter.at(line, column, f"an escape for U+{ord(found):04X}", "characters that a text may hold")
        return _UNUSABLE.sub("\ufffd", paired)


def mapping_of(item: Item, known: Iterable[str], reporter: Reporter) -> dict[str, Item]:
    """The entries by key, nulls left out; an unknown or repeated key, or no mapping at all, is reported."""
    allowed = tuple(known)
    found: dict[str, Item] = {}
    if item.entries is None:
        if not item.empty:
            reporter.of(item, f"a mapping with {', '.join(allowed)}")
        return found
    for key, value in item.entries:
        name = key.text
        if name not in allowed:
            reporter.of(key, f"one of {', '.join(allowed)}")
        elif name in found:
            reporter.of(key, "each key once")
        elif not value.empty:
            found[name] = value
    return found


def items_of(item: Item, reporter: Reporter) -> tuple[Item, ...]:
    """A list's items; one value stands for a list of one."""
    if item.items is not None:
        return tuple(child for child in item.items if not child.empty)
    if item.entries is not None:
        reporter.of(item, "a list")
        return ()
    return () if item.empty else (item,)


def text_of(item: Item | None, reporter: Reporter) -> str | None:
    if item is None or item.empty:
        return None
    if item.text is None:
        reporter.of(item, "text")
        return None
    return item.text.strip()


def texts_of(item: Item | None, reporter: Reporter) -> tuple[str, ...]:
    """The texts of a list; one text stands for a list of one."""
    if item is None:
        return ()
    texts = (text_of(child, reporter) for child in items_of(item, reporter))
    return tuple(text for text in texts if text)


def parsed(item: Item | None, parse: Callable[[str], T], expected: str, reporter: Reporter) -> T | None:
    """The text of `item` through `parse`, or None; what `parse` refuses with ValueError is reported."""
    text = text_of(item, reporter)
    if item is None or text is None:
        return None
    try:
        return parse(text)
    except ValueError:
        reporter.of(item, expected)
        return None


def truth(text: str) -> bool:
    """YAML 1.2 core schema: true or false. Raises ValueError."""
    try:
        return {"true": True, "false": False}[text.casefold()]
    except KeyError:
        raise ValueError(text) from None
