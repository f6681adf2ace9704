"""Where the parts of a block of YAML begin and end in its text, so that one part can be changed alone."""

from __future__ import annotations

import bisect
from collections.abc import Collection, Iterator, Sequence

from ruamel.yaml.nodes import CollectionNode, MappingNode, Node, ScalarNode, SequenceNode

from fightnotes.editing.line_edit import Span, lines_of, newline_of


class Places:
    """Offsets into one text; lines count from 0."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.newline = newline_of(text)
        self._lines = lines_of(text)
        self._starts = [0]
        for line in self._lines:
            self._starts.append(self._starts[-1] + len(line))

    def line_at(self, offset: int) -> int:
        return max(0, min(bisect.bisect_right(self._starts, offset) - 1, len(self._lines) - 1))

    def line(self, number: int) -> str:
        """Without its ending; empty beyond the last."""
        return self._lines[number].rstrip("\r\n") if number < len(self._lines) else ""

    def line_count(self) -> int:
        return len(self._lines)

    def line_stop(self, number: int) -> int:
        """The offset behind the last character of a line, before its ending."""
        return self._starts[number] + len(self.line(number))

    def start(self, node: Node) -> int:
        return int(node.start_mark.index)

    def stop(self, node: Node) -> int:
        """The offset behind the last character that belongs to the node; comments after it do not."""
        if isinstance(node, ScalarNode):
            stop = int(node.end_mark.index)
            return len(self.text[:stop].rstrip()) if node.style in ("|", ">") or not node.value else stop
        if is_flow(node):
            return int(node.end_mark.index)
        if isinstance(node, SequenceNode):
            return max(self.stop(child) for child in node.value)
        return max(self.value_stop(key, value) for key, value in node.value)

    def value_stop(self, key: Node, value: Node) -> int:
        """As `stop`, of a key's value; the parser finds a missing one anywhere before the next key."""
        missing = isinstance(value, ScalarNode) and not value.value and value.style is None
        return self.behind_colon(key) if missing else self.stop(value)

    def behind_colon(self, key: Node) -> int:
        return self.text.index(":", self.stop(key)) + 1

    def dash_line(self, item: Node, dash_column: int) -> int:
        """The line of the dash that a block sequence's item stands behind."""
        number = self.line_at(self.start(item))
        while self.line(number)[dash_column : dash_column + 1] != "-" or self.line(number)[:dash_column].strip():
            number -= 1
        return number

    def item_stop(self, item: Node, dash_column: int) -> int:
        """The end of the item's last line, with the comments below it that are indented as its parts."""
        number = self.line_at(max(self.stop(item) - 1, 0))
        while (after := self.line(number + 1)).lstrip().startswith("#") and _indent(after) > dash_column:
            number += 1
        return self.line_stop(number)

    def without_lines(self, first: int, stop: int) -> Span:
        """The span that takes lines `first` up to the one that ends at `stop` out, with the break before them."""
        return Span(self.line_stop(first - 1), stop, "")

    def without_flow_items(self, items: Sequence[Node], gone: Sequence[Node]) -> Iterator[Span]:
        """The spans that take items out of a list in brackets."""
        out = {id(item) for item in gone}
        parts = [(self.start(item), self.stop(item)) for item in items]
        yield from without_parts(parts, {index for index, item in enumerate(items) if id(item) in out})


def without_parts(parts: Sequence[tuple[int, int]], gone: Collection[int]) -> Iterator[Span]:
    """The spans that take the parts at the indices `gone` out of a row with commas between, a run at a time."""
    for last in sorted(gone):
        if last + 1 in gone:
            continue
        first = last
        while first - 1 in gone:
            first -= 1
        if last + 1 < len(parts):
            yield Span(parts[first][0], parts[last + 1][0], "")
        elif first:
            yield Span(parts[first - 1][1], parts[last][1], "")
        else:
            yield Span(parts[0][0], parts[last][1], "")


def is_flow(node: Node) -> bool:
    """Written in brackets or braces."""
    return isinstance(node, CollectionNode) and bool(node.flow_style)


def entries_of(node: MappingNode) -> dict[str, tuple[ScalarNode, Node]]:
    """Key and value nodes by key, the first of each key."""
    found: dict[str, tuple[ScalarNode, Node]] = {}
    for key, value in node.value:
        if isinstance(key, ScalarNode):
            found.setdefault(key.value, (key, value))
    return found


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())
