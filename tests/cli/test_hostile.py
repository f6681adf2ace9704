"""Notes and file names that hold control and bidirectional characters, formulas and markup.

Held against: Unicode Standard Annex 9 (the characters with Bidi_Control, from memory), ECMA-48 (controls), OWASP's page
on CSV injection (the characters that begin a formula), CommonMark as markdown-it-py reads it.
"""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from fightnotes.model.pasting import literal
from fightnotes.visible import inert_cell, visible, visible_line
from tests.cli.terminal import at_terminal, piped
from tests.conftest import MakeLibrary, RunCommand

BIDI = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
RAW = re.compile(f"[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029{BIDI}\ud800-\udfff]")
STYLE = re.compile(r"\x1b\[[0-9;]*m")
"""What the program itself sends to a terminal: Select Graphic Rendition (ECMA-48, 8.3.117)."""
BELL = "\x1b]0;owned\x07\x1b[2J"
NOTE = f"""\
---
bout: a
title: "A \u202e v B \\e[31m"
date: 2031-03-08
red: {{name: Ines Corvale}}
blue: {{name: Rika Brandaal}}
media: {{file: "media/a \u202e.mp4", rate: 25}}
---
- 0:10 A jab {BELL} then \u202ebackwards\u2066 and \x9b31m red. #jab by:corvale
- 0:20 =HYPERLINK("x") is a formula, and a hook. #hook
- 0:30 +1 and @sum and -2 too. #hook
- 0:40 \\*Not\\* bold, \\`not code\\`, \\<b>no tag\\</b>, \\[no](link), &amp;amp; no ~~strike~~, a|b. #jab
- 0:50 A jab to the head. by:nobody{BELL}
- R1 1:10 Unplaced \u2028 jab. #jabb
"""
VOCABULARY = f"""\
concepts:
- {{id: jab, label: jab, definition: "A straight \u202e punch {BELL}."}}
- {{id: hook, label: hook, also: ["hook \u202e"]}}
"""
NAME = "bouts/a \u202e\x1b[31m b.md"


@pytest.fixture
def hostile(make_library: MakeLibrary, fightnotes: RunCommand) -> Path:
    root = make_library({NAME: NOTE, "vocabulary.yaml": VOCABULARY.replace(BELL, "\\x1b[2J")})
    assert fightnotes("build", "--library", root).exit_code == 1
    return root


COMMANDS = (
    ("build",), ("find", "jab"), ("find", "jab", "--format", "csv"), ("find", "jab", "--format", "json"),
    ("find", "jab", "--format", "markdown"), ("find", "jab", "--format", "timestamps"), ("find", "--tag", "\u202enone"),
    ("suggest", "--above", "0"), ("suggest", "--take-above", "0", "--dry-run"), ("propose",), ("audit",),
    ("audit", "--fix", "--dry-run"), ("check",), ("start", "--dry-run", "--no-ask"),
    ("vocabulary", "show", "--definitions"), ("vocabulary", "check"),
    ("vocabulary", "export"), ("vocabulary", "retire", "hook", "--dry-run"), ("cut", "jab"),
    ("cut", "jab", "--to", "timestamps"), ("cut", "jab", "--to", "otio"), ("cut", "jab", "--format", "csv"),
)  # fmt: skip


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_nothing_raw_reaches_a_terminal(hostile: Path, words: tuple[str, ...]) -> None:
    for columns in (40, 120):
        _, shown = at_terminal(*words, "--library", hostile, columns=columns)
        shown = re.sub(r"\x1b\[\?25[lh]|\x1b\[1A|\x1b\[2K|\r", "", STYLE.sub("", shown))  # the bar's own
        assert not RAW.search(shown), ascii(shown)
        assert "Traceback" not in shown


def test_they_are_shown_as_escapes(hostile: Path, fightnotes: RunCommand) -> None:
    table = fightnotes("find", "jab", "--library", hostile).stdout
    assert "\\x1b]0;owned\\x07\\x1b[2J" in table
    assert "\\u202ebackwards\\u2066" in table
    assert "bouts/a \\u202e\\x1b[31m b.md:9" in table
    assert "bouts/a \\u202e\\x1b[31m b.md:13:27: found " in fightnotes("build", "--library", hostile).stderr


def test_json_keeps_the_true_text_and_escapes_it(hostile: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("find", "jab", "--library", hostile, "--format", "json")
    assert not RAW.search(result.stdout)
    hit = next(hit for hit in json.loads(result.stdout)["hits"] if hit["line"] == 9)
    assert hit["text"].startswith(f"A jab {BELL} then \u202ebackwards\u2066")
    assert hit["file"] == NAME


def test_a_file_gets_the_true_text(hostile: Path) -> None:
    """A pipe is no terminal: an export is the content of a file."""
    assert NAME.encode() in piped("cut", "jab", "--to", "csv", "--library", hostile).stdout


@pytest.mark.parametrize("begin", ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"])
def test_a_cell_is_no_formula(begin: str) -> None:
    assert inert_cell(f"{begin}1") == f"'{begin}1"
    assert inert_cell(f"a{begin}1") == f"a{begin}1"


def test_csv_read_back(hostile: Path, fightnotes: RunCommand) -> None:
    shown = fightnotes("find", "--bout", "a", "--library", hostile, "--format", "csv").stdout
    rows = {row["line"]: row for row in csv.DictReader(io.StringIO(shown))}
    assert rows["10"]["text"] == '\'=HYPERLINK("x") is a formula, and a hook.'
    assert rows["11"]["text"] == "'+1 and @sum and -2 too."
    assert rows["10"]["start"] == "20.0"
    begun = {value[:1] for row in rows.values() for value in row.values()}
    assert not begun & set("=+-@\t\r\n")


def test_an_exported_list_read_back(hostile: Path, fightnotes: RunCommand) -> None:
    for words in (("--to", "csv"), ("--format", "csv")):
        made = fightnotes("cut", "--at", f"{NAME}:10", "--title", "=1+1", *words, "--library", hostile)
        (row,) = csv.DictReader(io.StringIO(made.stdout))
        assert row["text"] == '\'=HYPERLINK("x") is a formula, and a hook.'


def read_back(markdown: str) -> str:
    """The text of a page, as a reader that knows tables and strikethrough besides CommonMark sees it."""
    return "".join(_text(MarkdownIt("commonmark").enable(["table", "strikethrough"]).parse(markdown)))


def _text(tokens: list[object]) -> Iterator[str]:
    for token in tokens:
        kind, content, children = (getattr(token, name) for name in ("type", "content", "children"))
        if kind in ("html_block", "html_inline", "code_inline", "fence", "code_block", "image"):
            raise AssertionError(f"{kind} made of text: {content}")
        if kind in ("text", "text_special"):
            yield content
        yield from _text(children or [])


def test_markdown_comes_back_literally(hostile: Path, fightnotes: RunCommand) -> None:
    page = fightnotes("find", "--bout", "a", "--library", hostile, "--format", "markdown").stdout
    tokens = MarkdownIt("commonmark").enable(["table", "strikethrough"]).parse(page)
    said = ["".join(_text([token])) for token in tokens if token.type == "inline"]
    assert "*Not* bold, `not code`, <b>no tag</b>, [no](link), &amp; no ~~strike~~, a|b." in said
    assert '=HYPERLINK("x") is a formula, and a hook.' in said
    place = "bouts/a \\u202e\\x1b[31m b.md:10"
    assert f"A \\u202e v B \\x1b[31m, 2031-03-08, 0:20-0:30, {place}" in said
    links = [child.attrs["href"] for token in tokens for child in token.children or [] if child.type == "link_open"]
    assert "media/a%20%E2%80%AE.mp4#t=20,30" in links
    assert "bouts/a%20%E2%80%AE%1B%5B31m%20b.md#line=9,10" in links
    assert [token.type for token in tokens].count("blockquote_open") == len(said) / 2


@given(st.text(st.characters(exclude_categories=["Cs"])))
def test_any_text_comes_back_literally(text: str) -> None:
    shown = " ".join(visible_line(text).split())
    for page in (f"> {literal(text)}\n", literal(text)):
        assert read_back(page) == shown


@given(st.text("\\`*_[]()<>&~|#!-+=.1 :a\n/\"'$^{}@", max_size=30))
def test_any_markup_comes_back_literally(text: str) -> None:
    test_any_text_comes_back_literally.hypothesis.inner_test(text)  # type: ignore[attr-defined]


@given(st.text())
def test_visible_text_steers_nothing(text: str) -> None:
    assert not RAW.search(visible(text))
    assert not re.search(r"[\t\n]", visible_line(text))
    assert visible(visible(text)) == visible(text)
    if not RAW.search(text):
        assert visible(text) == text
