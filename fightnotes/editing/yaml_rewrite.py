"""YAML brought in place to say something else, with comments, order and style kept.

A mapping or a list is put together anew of the texts of its parts: those that say what they shall stay as they stand,
with what stands between them, and only the others are written.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import accumulate, chain, pairwise

from ruamel.yaml import YAML
from ruamel.yaml.nodes import CollectionNode, MappingNode, Node, ScalarNode, SequenceNode
from ruamel.yaml.tokens import FlowEntryToken

from fightnotes.editing.line_edit import Span, lines_of, newline_of
from fightnotes.editing.vocabulary_text import Entry, Value, scalar, shown

Parts = Mapping[str, "YamlPart"]
Texts = Mapping[str, str | None]
"""What stands in place of a part, or as a new one; None where it goes."""
Piece = str | slice
"""New text, or a stretch of the old one that stays."""

_COMMENT = re.compile(r"#[^\r\n]*")
_LINE_END = re.compile(r"[\r\n]|\Z")
_COMMA = re.compile(r"(?:\s*,)?")
_EMPTY_LINE = re.compile(r"(?>\r\n?|\n)[ \t]*[\r\n]")


@dataclass(frozen=True)
class YamlPart:
    """A key with its value, or an item of a list with its dash."""

    start: int
    stop: int
    end: int
    """As `stop`; in a list or mapping in lines, behind the comments that follow and are indented as its parts."""
    node: Node
    """The value or item."""

    @property
    def aliased(self) -> bool:
        """Whether the value stands elsewhere, by an anchor."""
        return bool(self.node.start_mark.index < self.start)


class YamlPage:
    """A text and where the tokens and comments of its YAML stand. Raises YAMLError."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.newline = newline_of(text)
        self._begins = list(accumulate(map(len, lines_of(text)), initial=0))
        tokens = [token for token in YAML(typ="safe", pure=True).scan(text) if not isinstance(token, FlowEntryToken)]
        places = [(token.start_mark.index, token.end_mark.index) for token in tokens]
        self._words = [(start, start + len(text[start:stop].rstrip())) for start, stop in places if start < stop]
        gaps = list(pairwise([0, *chain.from_iterable(self._words), len(text)]))[::2]
        self._comments = [found for here, there in gaps for found in _COMMENT.finditer(text, here, there)]

    def parts(self, node: CollectionNode, name: Callable[[Node], str | None]) -> dict[str, YamlPart]:
        """A mapping's entries by the names of their keys, a list's items by their own; others by their places."""
        pairs = [pair if isinstance(node, MappingNode) else (pair, pair) for pair in node.value]
        starts = [key.start_mark.index for key, _ in pairs]
        last = node.end_mark.index - bool(node.flow_style)
        if isinstance(node, SequenceNode) and not node.flow_style:
            words = self._words[bisect_left(self._words, (node.start_mark.index,)) : bisect_left(self._words, (last,))]
            dashes = [start for start, end in words if self.text[start:end] == "-"]
            starts = [dash for dash in dashes if self.column(dash) == self.column(dashes[0])]
        found: dict[str, YamlPart] = {}
        for (key, value), (start, after) in zip(pairs, pairwise([*starts, last]), strict=True):
            called = name(key)
            place = f"at {start}" if called is None or called in found else called
            stop = self._words[bisect_left(self._words, (after,)) - 1][1]
            end = stop if node.flow_style else self._below(stop, self.column(starts[0]))
            found[place] = YamlPart(start, stop, end, value)
        return found

    def comments(self, part: YamlPart) -> list[str]:
        """Those inside it."""
        return [found[0] for found in self._comments if part.start <= found.start() < part.stop]

    def indent(self, offset: int) -> str:
        """What begins a new line with the column of `offset`."""
        return self.newline + " " * self.column(offset)

    def column(self, offset: int) -> int:
        return offset - self._begins[bisect_right(self._begins, offset) - 1]

    def line_end(self, offset: int) -> int:
        return next(_LINE_END.finditer(self.text, offset)).start()

    def _below(self, offset: int, column: int) -> int:
        comments = re.compile(rf"(?:(?>\r\n?|\n) {{{column + 1},}}#[^\r\n]*)*")
        return next(comments.finditer(self.text, self.line_end(offset))).end()


def node_text(node: Node) -> str | None:
    return node.value.strip() if isinstance(node, ScalarNode) else None


def entry_spans(page: YamlPage, node: MappingNode, old: Entry, new: Entry) -> Iterator[Span]:
    parts = page.parts(node, node_text)
    texts: dict[str, str | None] = dict.fromkeys(old.keys() & parts.keys() - new.keys())
    for key, value in new.items():
        text = f"{key}: {shown(key, value)}"
        if key not in parts:
            texts[key] = text
        elif old.get(key) != value:
            items = _items(page, parts[key], value)
            if items:
                yield from items
            else:
                texts[key] = anew(page, parts[key], text, node.flow_style)
    yield from together(page, node, parts, texts, new)


def _items(page: YamlPage, part: YamlPart, value: Value) -> list[Span]:
    """The changes of a list with an item a line; none where it is no such list, or in another order."""
    node = part.node
    if part.aliased or not isinstance(node, SequenceNode) or node.flow_style or isinstance(value, str):
        return []
    items = page.parts(node, node_text)
    pairs = zip(items, value, strict=False)
    before = {new: old for old, new in pairs if old not in value and new not in items}  # other words for one
    names = [before.get(text, text) for text in value]
    if [name for name in names if name in items] != [name for name in items if name in names]:
        return []
    texts: dict[str, str | None] = dict.fromkeys(items.keys() - names)
    for name, item in zip(names, (f"- {scalar(text)}" for text in value), strict=True):
        if name not in items or name not in value:
            texts[name] = anew(page, items[name], item, False) if name in items else item
    return list(together(page, node, items, texts, names))


def anew(page: YamlPage, part: YamlPart, text: str, in_braces: bool) -> str:
    """`text` in place of a part, with the comments that stood inside and behind it."""
    inside = page.comments(part)
    close = page.indent(part.start) if in_braces and inside else ""
    return "  ".join([text, *inside]) + close + page.text[part.stop : part.end]


def together(page: YamlPage, node: CollectionNode, parts: Parts, texts: Texts, wanted: Iterable[str]) -> Iterator[Span]:
    """The parts as `texts` has them or as they stand; a new one is behind the one that `wanted` has before it."""
    start, *_, end = (place for part in parts.values() for place in (part.start, part.end))
    pieces = _pieces(page, node, parts, texts, wanted)
    if all(texts.get(name, "") is None for name in (*parts, *texts)):  # nothing stays
        start = start if node.flow_style else page.line_end(len(page.text[:start].rstrip()))
        end = next(_COMMA.finditer(page.text, end)).end()
    new = ""
    for piece in (*pieces, slice(end, end)):
        if isinstance(piece, str):
            new += piece
            continue
        if new or start < piece.start:
            yield Span(start, piece.start, new)
        start, new = piece.stop, ""


def _pieces(page: YamlPage, node: CollectionNode, parts: Parts, texts: Texts, wanted: Iterable[str]) -> list[Piece]:
    """What `_together` puts one behind the other: parts, and what stands between them."""
    names = list(parts)
    for before, name in pairwise(["", *wanted]):
        if name not in names:
            names.insert(names.index(before) + 1 if before else 0, name)
    rows = list(parts.values())
    gaps = [slice(one.end, other.start) for one, other in pairwise(rows)]
    indent = page.indent(rows[0].start)
    begins_line = page.text[: rows[0].start].endswith(indent)
    apart = (f",{indent}" if begins_line else ", ") if node.flow_style else indent
    pieces: list[Piece] = []
    begun, passed = False, 0
    for name in names:
        gap = gaps[min(max(passed - 1, 0), len(gaps) - 1)] if gaps else slice(0, 0)
        between = page.text[gap]
        behind = name in parts and passed > 0  # the gap is the one before this part
        passed += name in parts
        text = texts.get(name, "")
        if text is not None:
            if behind and begun:
                pieces.append(gap)
            elif behind:
                pieces.append(slice(gap.stop - len(between.lstrip(", \t\r\n")), gap.stop))
            elif begun:
                empty = not node.flow_style and _EMPTY_LINE.search(between)
                pieces.append(page.newline + apart if empty else apart)
            pieces.append(text or slice(parts[name].start, parts[name].end))
            begun = True
        elif behind and begun and not node.flow_style:
            pieces.append(slice(gap.start, gap.start + len(between.rstrip())))  # empty lines above go too
        else:
            lost = _COMMENT.findall(between) if behind else []
            lost += page.comments(parts[name]) if node.flow_style else []
            pieces += [f" {comment}{indent}" for comment in lost]
    return pieces
