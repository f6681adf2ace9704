"""A Markdown note as blocks of source lines: what markdown-it-py finds, with the place of every character kept.

markdown-it-py says which lines a block has; the characters are taken from the source itself, so that an
edit finds its place whatever the Markdown around it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from markdown_it import MarkdownIt
from markdown_it.token import Token
from mdit_py_plugins.front_matter import front_matter_plugin

_NEWLINE = re.compile(r"\r\n?|\n")
_PARSER = MarkdownIt("commonmark").use(front_matter_plugin)
_LITERAL = ("fence", "code_block", "html_block")
_NEEDS_RENDERING = re.compile(r"[\\*_`\[&<!]")


@dataclass(frozen=True)
class Line:
    number: int
    """From 1."""
    column: int
    """Column of the first character of `text`, from 1."""
    text: str


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
    blocks: tuple[Block, ...]


def split_lines(text: str) -> list[str]:
    """Lines as CommonMark counts them (2.1: LF, CR, or CR LF), without their endings."""
    return _NEWLINE.split(text)


def read_blocks(text: str) -> NoteText:
    """Front matter and blocks in document order; `text` is without byte order mark."""
    source = split_lines(text)
    front_matter: str | None = None
    front_matter_line = 0
    blocks: list[Block] = []
    items: list[int] = []
    opened = 0
    heading_level = 0
    for token in _PARSER.parse(text):
        if token.type == "front_matter":
            front_matter, front_matter_line = token.content, (token.map or [0])[0] + 2
        elif token.type == "list_item_open":
            opened += 1
            items.append(opened)
        elif token.type == "list_item_close":
            items.pop()
        elif token.type == "heading_open":
            heading_level = int(token.tag[1:])
        elif token.type == "heading_close":
            heading_level = 0
        elif token.type == "inline" and token.map:
            kind = "heading" if heading_level else "paragraph"
            blocks.append(Block(kind, _lines_of(token, source), tuple(items), heading_level))
        elif token.type in _LITERAL and token.map and not token.content.lstrip().startswith("<!--"):
            blocks.append(Block("literal", _lines_of(token, source), tuple(items)))
    return NoteText(front_matter, front_matter_line, tuple(blocks))


def _lines_of(token: Token, source: list[str]) -> tuple[Line, ...]:
    """Each content line with its place: the end of its source line, since only prefixes are taken off."""
    first = (token.map or [0])[0] + (1 if token.type == "fence" else 0)
    lines: list[Line] = []
    for offset, content in enumerate(token.content.rstrip("\n").split("\n")):
        bare = content.strip()
        if not bare or first + offset >= len(source):
            continue
        raw = source[first + offset].replace("\0", "\N{REPLACEMENT CHARACTER}")
        at = raw.rfind(bare)
        if at >= 0:
            lines.append(Line(first + offset + 1, at + 1, bare))
    return tuple(lines)


def plain_text(markdown: str) -> str:
    """The words of inline Markdown: marks, link targets and escapes taken out, white space folded."""
    if _NEEDS_RENDERING.search(markdown):
        markdown = "".join(_words(child) for token in _PARSER.parseInline(markdown) for child in token.children or ())
    return " ".join(markdown.split())


def _words(token: Token) -> str:
    if token.type in ("softbreak", "hardbreak"):
        return " "
    if token.type == "image":
        return token.content
    return token.content if token.type in ("text", "code_inline", "text_special") else ""
