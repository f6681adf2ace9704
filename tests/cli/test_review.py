"""Suggestions decided one by one, with the answers piped in."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import Result

from fightnotes.library import open_library
from fightnotes.reading.file_names import TAGS_FILE
from fightnotes.suggesting.rejected import read_rejections
from fightnotes.suggesting.suggest import TagSuggestion

Run = Callable[..., Result]
BOUT = "orzhelian-thackmoor-2029"
FILE = f"bouts/{BOUT}.md"


@pytest.fixture
def root(demo: Path, tmp_path: Path) -> Path:
    shutil.copytree(demo, tmp_path / "library")
    return tmp_path / "library"


def _waiting(root: Path) -> list[TagSuggestion]:
    found = open_library(root).suggest(bouts=[BOUT])
    return sorted((each for each in found if each.writable), key=lambda each: (each.segment.file, each.segment.line))


def _review(fightnotes: Run, root: Path, *answers: str) -> Result:
    stdin = "".join(f"{answer}\n" for answer in answers)
    return fightnotes("suggest", "--library", root, "--bout", BOUT, "--only", "tags", "--review", stdin=stdin)


def _line(root: Path, number: int) -> str:
    return (root / FILE).read_text(encoding="utf-8").splitlines()[number - 1]


def _note(root: Path, each: TagSuggestion) -> str:
    return "\n".join(_line(root, number) for number in range(each.segment.line, each.segment.last_line + 1))


def test_accept_writes_reject_remembers_later_leaves(root: Path, fightnotes: Run) -> None:
    first, second, third = _waiting(root)[:3]
    untouched = _line(root, third.segment.last_line)
    result = _review(fightnotes, root, "a", "r", "l", "s")
    assert result.exit_code == 0
    assert result.stdout == ""
    assert "1 accepted, 1 rejected, 0 changed" in result.stderr
    assert f"#{first.concept}" in _note(root, first)
    assert [(each.concept, each.text) for each in read_rejections(root)] == [(second.concept, second.segment.text)]
    assert _line(root, third.segment.last_line) == untouched
    open_library(root).build()
    again = {(each.segment.line, each.concept) for each in _waiting(root)}
    assert (first.segment.line, first.concept) not in again
    assert (second.segment.line, second.concept) not in again


def test_each_is_shown_with_its_text_around_it_and_its_reasons(root: Path, fightnotes: Run) -> None:
    first = _waiting(root)[0]
    shown = _review(fightnotes, root, "s").stderr
    line = first.segment.line
    assert f"> {line:4} {_line(root, line)}" in shown
    assert f"  {line - 1:4} {_line(root, line - 1)}".rstrip() in shown
    assert f"#{first.concept} ({first.label})" in shown
    assert str(first.why) in shown


def test_undo_takes_back_tags_and_refusals_one_by_one(root: Path, fightnotes: Run) -> None:
    before = (root / FILE).read_bytes()
    result = _review(fightnotes, root, "u", "a", "r", "u", "u", "s")
    assert "nothing to undo" in result.stderr
    assert "0 accepted, 0 rejected, 0 changed" in result.stderr
    assert (root / FILE).read_bytes() == before
    assert read_rejections(root) == ()
    assert not (root / TAGS_FILE).exists()


def test_another_tag_instead_is_written_and_the_suggestion_refused(root: Path, fightnotes: Run) -> None:
    first = _waiting(root)[0]
    result = _review(fightnotes, root, "o", "no such tag", "o", "", "o", "straight left", "s")
    assert "the library knows no concept 'no such tag'" in result.stderr
    assert "#cross" in _note(root, first)
    assert f"#{first.concept}" not in _note(root, first)
    assert [each.concept for each in read_rejections(root)] == [first.concept]


def test_another_tag_instead_can_be_undone(root: Path, fightnotes: Run) -> None:
    before = (root / FILE).read_bytes()
    _review(fightnotes, root, "o", "straight left", "u", "s")
    assert (root / FILE).read_bytes() == before
    assert read_rejections(root) == ()


def test_the_end_of_the_input_stops_and_a_wrong_key_is_told(root: Path, fightnotes: Run) -> None:
    result = _review(fightnotes, root, "x")
    assert result.exit_code == 0
    assert "one of: a accept" in result.stderr
    assert f"{len(_waiting(root))} not looked at" in result.stderr


def test_a_note_changed_meanwhile_is_not_written(root: Path, fightnotes: Run) -> None:
    first = _waiting(root)[0]
    path = root / FILE
    text = path.read_text(encoding="utf-8").replace(_line(root, first.segment.line), "- 0:01 Something else.")
    path.write_text(text, encoding="utf-8")
    result = _review(fightnotes, root, "s")
    assert f"passed over: {FILE}:{first.segment.line}:1: found another text" in result.stderr
    assert "2 of" in result.stderr
    assert path.read_text(encoding="utf-8") == text


def test_a_note_that_moved_is_shown_and_tagged_where_it_stands(root: Path, fightnotes: Run) -> None:
    first = _waiting(root)[0]
    path, line = root / FILE, _line(root, first.segment.line)
    path.write_text(path.read_text(encoding="utf-8").replace(line, f"- 0:01 New.\n{line}"), encoding="utf-8")
    before = path.read_text(encoding="utf-8")
    now = first.segment.line + 1
    result = _review(fightnotes, root, "a", "u", "a", "s")
    assert f"moved: it stands at {FILE}:{now} now" in result.stderr
    assert f"> {now:4} {line}" in result.stderr
    changed = [number for number, old in enumerate(before.splitlines(), 1) if _line(root, number) != old]
    assert changed == [first.segment.line + 1]  # the fields stand on the next line


def test_a_file_that_is_gone_does_not_end_the_review(root: Path, fightnotes: Run) -> None:
    waiting = _waiting(root)
    (root / FILE).unlink()
    result = _review(fightnotes, root, "a")
    assert result.exit_code == 0
    assert result.stderr.count("passed over: ") == len(waiting)
    assert "0 accepted, 0 rejected, 0 changed; 0 not looked at" in result.stderr


def test_an_undo_whose_lines_are_gone_is_said(root: Path, fightnotes: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    path = root / FILE

    def ask(question: str, answers: list[str] = ["a", "u", "s"]) -> str:  # noqa: B006 (one review)
        if answers[0] == "u":
            path.write_text(path.read_text(encoding="utf-8").partition("## ")[0], encoding="utf-8")
        return answers.pop(0)

    monkeypatch.setattr("fightnotes.cli.review._ask", ask)
    result = _review(fightnotes, root)
    assert result.exit_code == 0
    assert f"not taken back: {FILE}:" in result.stderr
