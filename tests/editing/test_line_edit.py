from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.editing import atomic
from fightnotes.editing.line_edit import (
    LineEdit,
    Span,
    edited,
    edits_of,
    lines_of,
    newline_of,
    read_exact,
    shown,
)  # fmt: skip
from fightnotes.errors import FightnotesError, UnreadableFile
from tests.line_edits import apply_edits

ENDINGS = ["\n", "\r\n", "\r"]
chars = st.characters(exclude_categories=("Cs",))
pieces = st.one_of(st.text(chars, max_size=6), st.sampled_from([*ENDINGS, " \n", "\u2028", "\x85"]))
texts = st.lists(pieces).map("".join)


@st.composite
def texts_with_spans(draw: st.DrawFn) -> tuple[str, list[Span]]:
    text = draw(texts)
    cuts = sorted(draw(st.lists(st.integers(0, len(text)), max_size=8)))
    pairs = zip(cuts[::2], cuts[1::2], strict=False)
    return text, [Span(start, end, draw(texts)) for start, end in pairs]


@given(texts)
def test_lines_joined_are_the_text_and_none_holds_an_ending_inside(text: str) -> None:
    lines = lines_of(text)
    assert "".join(lines) == text
    assert all(line.rstrip("\r\n").count("\n") + line.rstrip("\r\n").count("\r") == 0 for line in lines)


@given(texts_with_spans())
def test_spans_as_line_edits_change_what_they_name_and_nothing_else(case: tuple[str, list[Span]]) -> None:
    text, spans = case
    expected, reached = "", 0
    for span in spans:
        expected += text[reached : span.start] + span.new
        reached = span.end
    expected += text[reached:]
    assert edited("f", text, edits_of("f", text, spans)) == expected


@given(texts_with_spans(), st.binary(max_size=8), st.booleans())
def test_undo_gives_every_byte_back(
    tmp_path_factory: pytest.TempPathFactory, case: tuple[str, list[Span]], tail: bytes, mark: bool
) -> None:
    text, spans = case
    root = tmp_path_factory.mktemp("library")
    path = root / "a.md"
    before = (b"\xef\xbb\xbf" if mark else b"") + text.encode() + tail
    path.write_bytes(before)
    shift = 1 if mark else 0
    edits = edits_of("a.md", read_exact(path), [Span(s.start + shift, s.end + shift, s.new) for s in spans])
    back = apply_edits(root, edits)
    after = path.read_bytes()
    again = apply_edits(root, back)
    assert path.read_bytes() == before
    apply_edits(root, again)
    assert path.read_bytes() == after


def changed_line(file: str, text: str, line: int, new: str) -> LineEdit:
    """An edit that makes `new`, without an ending, of line `line` of `text`; the ending stays."""
    old = lines_of(text)[line - 1]
    return LineEdit(file, line, (old,), (new + old[len(old.rstrip("\r\n")) :],))


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_changed_line_keeps_mark_endings_and_trailing_spaces(tmp_path: Path, ending: str) -> None:
    path = tmp_path / "a.md"
    path.write_bytes(f"\ufeffone  {ending}two\t \nthree".encode())
    text = read_exact(path)
    apply_edits(tmp_path, [changed_line("a.md", text, 2, "2"), changed_line("a.md", text, 3, "3")])
    assert path.read_bytes() == f"\ufeffone  {ending}2\n3".encode()


def test_bytes_that_are_no_utf_8_pass_through(tmp_path: Path) -> None:
    path = tmp_path / "a.md"
    path.write_bytes(b"caf\xe9\nsecond\n")
    apply_edits(tmp_path, [changed_line("a.md", read_exact(path), 2, "2nd")])
    assert path.read_bytes() == b"caf\xe9\n2nd\n"


def test_a_line_that_changed_meanwhile_is_never_written_over(tmp_path: Path) -> None:
    (tmp_path / "a.md").write_text("a\nb\n")
    (tmp_path / "b.md").write_text("c\nd\n")
    edits = [LineEdit("a.md", 1, ("a\n",), ("A\n",)), LineEdit("b.md", 2, ("d\n",), ("D\n",))]
    (tmp_path / "b.md").write_text("c\nd, and more\n")
    with pytest.raises(UnreadableFile, match=r"b\.md:2:1: found 'd, and more.*expected the line as it was read, 'd"):
        apply_edits(tmp_path, edits)
    assert (tmp_path / "a.md").read_text() == "a\nb\n"
    assert sorted(os.listdir(tmp_path)) == ["a.md", "b.md"]


def test_a_file_that_grew_shorter_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.md").write_text("a\n")
    with pytest.raises(UnreadableFile, match="the end of the file"):
        apply_edits(tmp_path, [LineEdit("a.md", 2, ("b\n",), ("B\n",))])
    with pytest.raises(UnreadableFile, match="the end of the file"):
        apply_edits(tmp_path, [LineEdit("a.md", 5, (), ("B\n",))])


def test_a_change_between_the_check_and_the_writing_stops_everything(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("a.md", "b.md"):
        (tmp_path / name).write_text("x\n")
    write = atomic._written_beside

    def meanwhile(path: Path, content: bytes, mark: str) -> Path:
        if path.name == "b.md":
            path.write_text("another hand\n")
        return write(path, content, mark)

    monkeypatch.setattr(atomic, "_written_beside", meanwhile)
    with pytest.raises(UnreadableFile, match="meanwhile"):
        apply_edits(tmp_path, [LineEdit(name, 1, ("x\n",), ("y\n",)) for name in ("a.md", "b.md")])
    assert (tmp_path / "a.md").read_text() == "x\n"
    assert (tmp_path / "b.md").read_text() == "another hand\n"
    assert sorted(os.listdir(tmp_path)) == ["a.md", "b.md"]


def test_a_failure_half_way_puts_the_first_file_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("a.md", "b.md"):
        (tmp_path / name).write_text("x\n")
    replace = os.replace

    def full(source: Path, target: Path) -> None:
        if target.name == "b.md":
            raise OSError(28, "No space left on device", str(target))
        replace(source, target)

    monkeypatch.setattr(atomic.os, "replace", full)
    with pytest.raises(FightnotesError, match="No space left on device"):
        apply_edits(tmp_path, [LineEdit(name, 1, ("x\n",), ("y\n",)) for name in ("a.md", "b.md")])
    assert (tmp_path / "a.md").read_text() == "x\n"
    assert sorted(os.listdir(tmp_path)) == ["a.md", "b.md"]


def test_permission_bits_and_links_stay(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    path = tmp_path / "real" / "a.md"
    path.write_text("x\n")
    path.chmod(0o640)
    (tmp_path / "link.md").symlink_to(path)
    apply_edits(tmp_path, [LineEdit("link.md", 1, ("x\n",), ("y\n",))])
    assert (tmp_path / "link.md").is_symlink()
    assert path.read_text() == "y\n"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


@pytest.mark.parametrize("file", ["../a.md", "/etc/a.md", "bouts/../../a.md"])
def test_an_edit_stays_inside_the_library(tmp_path: Path, file: str) -> None:
    with pytest.raises(FightnotesError, match="inside the library"):
        apply_edits(tmp_path, [LineEdit(file, 1, ("x\n",), ("y\n",))])


def test_two_edits_of_one_line_are_refused() -> None:
    edits = [LineEdit("a", 1, ("x\n", "y\n"), ("z\n",)), LineEdit("a", 2, ("y\n",), ())]
    with pytest.raises(FightnotesError, match="a:2: two edits"):
        edited("a", "x\ny\n", edits)


def test_overlapping_spans_are_refused() -> None:
    with pytest.raises(ValueError, match="overlaps"):
        edits_of("a", "abc", [Span(0, 2, ""), Span(1, 3, "")])


def test_spans_on_one_line_become_one_edit() -> None:
    edits = edits_of("a", "one #x two #x\nnext\n", [Span(4, 6, "#y"), Span(11, 13, "#y")])
    assert edits == (LineEdit("a", 1, ("one #x two #x\n",), ("one #y two #y\n",)),)


def test_a_dry_run_is_a_unified_diff() -> None:
    texts = {"b.md": "1\n2\n3\n4\n5\n", "a.md": "x\r\n"}
    edits = [LineEdit("b.md", 3, ("3\n",), ("three\n",)), LineEdit("a.md", 1, ("x\r\n",), ("y\r\n",))]
    assert list(shown(texts, edits)) == [
        "--- a.md", "+++ a.md", "@@ -1 +1 @@", "-x", "+y",
        "--- b.md", "+++ b.md", "@@ -2,3 +2,3 @@", " 2", "-3", "+three", " 4",
    ]  # fmt: skip


@pytest.mark.parametrize(("text", "ending"), [("a\r\nb\n", "\r\n"), ("a", "\n"), ("", "\n"), ("a\rb", "\r")])
def test_newline_of(text: str, ending: str) -> None:
    assert newline_of(text) == ending


@pytest.mark.parametrize(
    ("before", "edits"),
    [
        ("\rx\n\n", [LineEdit("a.md", 2, ("x\n",), ())]),
        ("a\nb\nc\n", [LineEdit("a.md", 1, ("a\n",), ()), LineEdit("a.md", 3, ("c\n",), ())]),
        ("a\n", [LineEdit("a.md", 1, ("a\n",), ())]),
    ],
)
def test_undo_where_the_lines_after_do_not_tell_the_place(tmp_path: Path, before: str, edits: list[LineEdit]) -> None:
    path = tmp_path / "a.md"
    path.write_bytes(before.encode())
    apply_edits(tmp_path, apply_edits(tmp_path, edits))
    assert path.read_bytes() == before.encode()
