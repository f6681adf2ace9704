"""A Markdown note as blocks of source lines: what markdown-it-py finds, with the place of every character kept.

markdown-it-py says which lines a block has; the characters are taken from the source itself, so that an
edit finds its place whatever the Markdown around it. Where CommonMark would make plain words vanish, as a
link reference definition or in a comment that never ends, they are kept as text.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from markdown_it import MarkdownIt
from markdown_it.token import Token
from mdit_py_plugins.front_matter import front_matter_plugin

from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.text_file import split_lines

_DEEPEST = 100
"""Levels of lists (two each, list and item) and quotes; what is deeper is reported and kept as it stands."""
_BLOCKS = (
    MarkdownIt("commonmark", {"maxNesting": _DEEPEST})
    .use(front_matter_plugin)
    .disable(["reference", "inline", "text_join", "code"])  # in notes, what is indented is no code
)
_INLINE = MarkdownIt("commonmark", {"maxNesting": 6})  # deeper brackets stay text, and cost no time
_LITERAL = ("fence", "html_block")
_CONTAINERS = ("list_item_open", "blockquote_open")
_COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)
_DASHES = re.compile(r" {0,3}(-{3,})[ \t]*")
_KEY = re.compile(r"\w+[ \t]*:")
_MARKED_UP = re.compile(r"[\\*_`\[&<]")


@dataclass(frozen=True)
class Line:
    number: int
    """From 1."""
    column: int
    """Column of the first character of `text`, from 1."""
    text: str


class JoinedLines:
    """Lines of one block as a text, with the place of each of its characters."""

    def __init__(self, lines: Sequence[Line]) -> None:
        self.text = "\n".join(line.text for line in lines)
        self._lines = lines
        self._starts = [0]
        for line in lines[:-1]:
            self._starts.append(self._starts[-1] + len(line.text) + 1)

    def place(self, offset: int) -> tuple[int, int]:
        """Line and column in the file."""
        index = bisect_right(self._starts, offset) - 1
        return self._lines[index].number, self._lines[index].column + offset - self._starts[index]


@dataclass(frozen=True)
class Block:
    kind: str
    """`paragraph`, `heading`, or `literal` for code and HTML, in which nothing is marked up."""
    lines: tuple[Line, ...]
    items: tuple[int, ...]
    """The list items around it, outermost first, each by a number of its own."""
    level: int = 0
    """Of a heading."""


@dataclass(frozen=True)
class NoteText:
    front_matter: str | None
    front_matter_line: int
    """Line on which the front matter's first line of YAML stands."""
    front_matter_end: int
    """Line of the dashes that close it; 0 where there is none."""
    blocks: tuple[Block, ...]


def read_blocks(text: str, reporter: Reporter) -> NoteText:
    """Front matter and blocks in document order; `text` is without byte order mark.

    Front matter, code and comments that are opened and never closed are reported.
    """
    source = split_lines(text)
    front_matter: str | None = None
    front_matter_line = front_matter_end = 0
    blocks: list[Block] = []
    items: list[int] = []
    opened = 0
    heading_level = 0
    for token in _BLOCKS.parse(text):
        if token.type in _CONTAINERS and token.level + 1 >= _DEEPEST:
            blocks.append(_too_deep(token, source, tuple(items), reporter))
        if token.type == "front_matter":
            assert token.map is not None
            front_matter, front_matter_line, front_matter_end = token.content, token.map[0] + 2, token.map[1]
        elif token.type == "list_item_open":
            opened += 1
            items.append(opened)
        elif token.type == "list_item_close":
            items.pop()
        elif token.type == "heading_open":
            heading_level = int(token.tag[1:])
        elif token.type == "heading_close":
            heading_level = 0
        elif token.type == "inline":
            kind = "heading" if heading_level else "paragraph"
            blocks.append(Block(kind, _lines_of(token, source), tuple(items), heading_level))
        elif token.type in _LITERAL:
            _report_open(token, source, reporter)
            if _COMMENT.sub("", token.content).strip():
                blocks.append(Block("literal", _lines_of(token, source), tuple(items)))
    if front_matter is None and source[0] == "---" and len(source) > 1 and _KEY.match(source[1]):
        reporter.at(1, 1, "front matter without an end", "a line of --- behind it")
    return NoteText(front_matter, front_matter_line, front_matter_end, tuple(blocks))


def front_of(text: str) -> str:
    """The text up to the end of its front matter; nothing where there is none."""
    lines = split_lines(text)
    dashes = [match[1] if (match := _DASHES.fullmatch(line)) else "" for line in lines]
    if not dashes[0]:
        return ""
    end = next((number for number, found in enumerate(dashes[1:], 2) if len(found) >= len(dashes[0])), 0)
    return "\n".join(lines[:end])


def _first_line(token: Token) -> int:
    """From 0; every block's token has its lines."""
    assert token.map is not None
    return token.map[0]


def _lines_of(token: Token, source: list[str]) -> tuple[Line, ...]:
    """Each content line with its place: the end of its source line, since only prefixes are taken off.

    Where the first lines are white space to Unicode alone, the content begins behind them.
    """
    number = _first_line(token) + (1 if token.type == "fence" else 0)
    lines: list[Line] = []
    for content in token.content.rstrip("\n").split("\n"):
        bare = content.strip()
        while (column := _as_parsed(source[number]).rfind(bare)) < 0:
            number += 1
        if bare:
            lines.append(Line(number + 1, column + 1, bare))
        number += 1
    return tuple(lines)


def _too_deep(token: Token, source: list[str], items: tuple[int, ...], reporter: Reporter) -> Block:
    """What markdown-it-py leaves out of a container that is too deep inside others, as it stands in the source."""
    assert token.map is not None
    numbered = [(number + 1, source[number]) for number in range(*token.map) if source[number].strip()]
    lines = tuple(Line(number, len(text) - len(text.lstrip()) + 1, text.strip()) for number, text in numbered)
    expected = f"at most {_DEEPEST // 2} lists or {_DEEPEST} quotes inside each other"
    reporter.at(lines[0].number, lines[0].column, "lists or quotes too deep inside each other", expected)
    return Block("literal", lines, items)


def _as_parsed(line: str) -> str:
    return line.replace("\0", "\N{REPLACEMENT CHARACTER}")


def _report_open(token: Token, source: list[str], reporter: Reporter) -> None:
    first = _first_line(token)
    assert token.map is not None
    if token.type == "fence":
        last = source[min(token.map[1], len(source)) - 1].strip("> \t")
        closed = token.map[1] - first > 1 and last.startswith(token.markup) and not last.strip(token.markup[0])
        opening = token.markup
    else:
        closed = "<!--" not in _COMMENT.sub("", token.content)
        opening = "<!--"
    if not closed:
        column = source[first].find(opening) + 1
        reporter.at(first + 1, max(column, 1), f"'{opening}' without an end", "its end before the text goes on")


def plain_text(markdown: str) -> str:
    """The words of inline Markdown: marks, link targets and escapes taken out, white space folded."""
    words = markdown
    if _MARKED_UP.search(markdown):
        (inline,) = _INLINE.parseInline(markdown)
        words = "".join(_words_of(child) for child in inline.children or ())
    return " ".join(words.split())


def _words_of(token: Token) -> str:
    if token.type in ("softbreak", "hardbreak"):
        return " "
    if token.type == "image":
        return "".join(_words_of(child) for child in token.children or ())
    return token.content if token.type in ("text", "code_inline", "text_special") else ""
