"""YAML 1.2 with the place of every value, so that each complaint can name line and column.

Scalars stay text: what a value must look like is for the reader of the key to say, and
`3:00`, `007` or `no` never turn into something that the analyst did not write.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import TypeVar

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from fightnotes.errors import Problem

T = TypeVar("T")
_NULL = "tag:yaml.org,2002:null"
_DEEPEST = 40
_EXCERPT = 60


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


def excerpt(text: str) -> str:
    flat = " ".join(text.split())
    return f"'{flat[:_EXCERPT]}…'" if len(flat) > _EXCERPT else f"'{flat}'"


@dataclass
class Reporter:
    """Collects the problems of one file."""

    file: str
    problems: list[Problem] = field(default_factory=list)

    def at(self, line: int, column: int, found: str, expected: str) -> None:
        self.problems.append(Problem(self.file, line, column, found, expected))

    def of(self, item: Item, expected: str, found: str | None = None) -> None:
        self.at(item.line, item.column, found or item.shown(), expected)


def read_yaml(text: str, reporter: Reporter, first_line: int = 1) -> Item | None:
    """The document's root, or None where it is empty or no YAML (which is reported).

    `first_line` is the file's line on which `text` begins.
    """
    try:
        node = YAML(typ="safe", pure=True).compose(text)
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line, column = (mark.line + first_line, mark.column + 1) if mark else (first_line, 1)
        reporter.at(line, column, error.problem or "broken YAML", "YAML 1.2")
        return None
    except YAMLError as error:
        reporter.at(first_line, 1, excerpt(str(error)), "YAML 1.2")
        return None
    return None if node is None else _item(node, reporter, first_line, 0)


def _item(node: Node, reporter: Reporter, first_line: int, depth: int) -> Item:
    line, column = node.start_mark.line + first_line, node.start_mark.column + 1
    if depth > _DEEPEST:
        reporter.at(line, column, "a value inside itself", f"at most {_DEEPEST} levels")
        return Item(line, column)
    if isinstance(node, ScalarNode):
        return Item(line, column, text=None if node.tag == _NULL else str(node.value))
    if isinstance(node, SequenceNode):
        return Item(line, column, items=tuple(_item(child, reporter, first_line, depth + 1) for child in node.value))
    assert isinstance(node, MappingNode)
    return Item(
        line,
        column,
        entries=tuple(
            (_item(key, reporter, first_line, depth + 1), _item(value, reporter, first_line, depth + 1))
            for key, value in node.value
        ),
    )


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
