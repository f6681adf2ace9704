from __future__ import annotations

import re
from pathlib import Path

import pytest

from fightnotes.editing.journal import make
from fightnotes.editing.line_edit import LineEdit
from fightnotes.editing.plan import take_back
from fightnotes.editing.undo_file import FOLDER, read_undo
from fightnotes.errors import FightnotesError, UnreadableFile
from tests.line_edits import apply_edits


@pytest.fixture
def library(tmp_path: Path) -> Path:
    (tmp_path / "bouts").mkdir()
    (tmp_path / "bouts" / "a.md").write_bytes(b"\xff\r\n#jab\r\nend")
    (tmp_path / "vocabulary.yaml").write_bytes("\ufeffone\ntwo\nthree\n".encode())
    return tmp_path


def contents(library: Path) -> dict[str, bytes]:
    return {name: (library / name).read_bytes() for name in ("bouts/a.md", "vocabulary.yaml")}


def test_an_applied_change_is_taken_back_from_its_file_and_done_again(library: Path) -> None:
    before = contents(library)
    edits = [
        LineEdit("bouts/a.md", 1, ("\udcff\r\n", "#jab\r\n"), ("\udcff#cross\r\n",)),
        LineEdit("vocabulary.yaml", 2, ("two\n",), ()),
    ]
    path = make(library, "merge jab into cross", edits)
    after = contents(library)
    assert after["bouts/a.md"] == b"\xff#cross\r\nend"
    assert after["vocabulary.yaml"].endswith(b"one\nthree\n")
    assert path.parent == library / FOLDER
    assert re.fullmatch(r"\d{8}T\d{6}\.\d{6}Z-merge-jab-into-cross\.json", path.name)
    said = read_undo(path)
    assert said.title == "merge jab into cross"
    take_back(library, path)
    assert contents(library) == before
    assert not path.exists()
    apply_edits(library, said.again)
    assert contents(library) == after


def test_a_line_changed_since_is_kept_and_nothing_is_undone(library: Path) -> None:
    edits = [
        LineEdit("bouts/a.md", 3, ("end",), ("END",)),
        LineEdit("vocabulary.yaml", 3, ("three\n",), ("3\n",)),
    ]
    path = make(library, "x", edits)
    (library / "vocabulary.yaml").write_text("one\ntwo\nthird\n")
    changed = contents(library)
    with pytest.raises(UnreadableFile, match=r"vocabulary\.yaml:3:1"):
        take_back(library, path)
    assert contents(library) == changed


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{",
        b"[]",
        b"\xff",
        b'{"title": "x"}',
        b'{"title": "x", "made": "2031-03-08T21:05:00Z", "edits": [{"file": 1}]}',
    ],
)
def test_what_is_no_undo_file_is_refused(library: Path, content: bytes) -> None:
    path = library / "undo.json"
    path.write_bytes(content)
    with pytest.raises(UnreadableFile, match=r"undo\.json.*expected an undo file"):
        take_back(library, path)


def test_a_missing_undo_file(library: Path) -> None:
    with pytest.raises(UnreadableFile, match="No such file"):
        take_back(library, library / "gone.json")


def test_an_undo_file_writes_nothing_outside_the_library(library: Path) -> None:
    path = make(library, "x", [LineEdit("bouts/a.md", 1, (), ("x\n",))])
    path.write_text(path.read_text().replace("bouts/a.md", "../a.md"))
    with pytest.raises(FightnotesError, match="inside the library"):
        take_back(library, path)
    with pytest.raises(FightnotesError, match="inside the library"):
        make(library, "x", [LineEdit("../a.md", 1, (), ("x\n",))])
    assert [one.name for one in (library / FOLDER).iterdir()] == [path.name]
