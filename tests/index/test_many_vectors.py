"""Above a number of segments, here a small one, vectors have codes beside them, and builds write what changed alone."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from fightnotes.errors import StoreTorn
from fightnotes.index import vector_parts
from fightnotes.index.build import BuildReport
from fightnotes.index.layout import Layout
from fightnotes.library import open_library
from tests.conftest import RunCommand
from tests.index.samples import SEGMENTS, TEXTS, files_of_store, rewrite, texts_in
from tests.index.test_store_faults import Damage, cut, delete, fill, overwrite

THIRD = "---\nbout: third\n---\n- 0:01 Oduro feints with the shoulder.\n- 0:09 jab\n"


@pytest.fixture
def many(root: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """LIBRARY, built with codes, as if its segments were very many."""
    monkeypatch.setattr(vector_parts, "EXACT_UP_TO", 3)
    monkeypatch.setattr(vector_parts, "RECENT_SHARE", 10)
    assert open_library(root).build().by_codes
    assert {"vectors-1.faiss", "codes-1.faiss"} < files_of_store(root)
    return root


def build(root: Path) -> BuildReport:
    report = open_library(root).build()
    assert report.rebuilt_because is None
    assert len(texts_in(root)) == report.segments
    return report


def first_hit(root: Path, query: str) -> str:
    return open_library(root).find(query).hits[0].text


def test_what_is_added_changed_and_taken_out_lies_beside_the_codes(many: Path) -> None:
    stamps = {name: Layout(many).file(name).stat() for name in ("vectors-1.faiss", "codes-1.faiss")}
    rewrite(many, "bouts/first.md", "low gloves", "gloves by the knees")
    (many / "bouts/third.md").write_text(THIRD)
    report = build(many)
    assert (report.segments, report.embedded, report.by_codes) == (SEGMENTS + 2, 2, True)
    assert "recent-2.npz" in files_of_store(many)
    assert first_hit(many, "gloves by the knees") == "Marvane waits with gloves by the knees."
    assert first_hit(many, "feints with the shoulder") == "Oduro feints with the shoulder."
    assert "Marvane waits with low gloves." not in texts_in(many)
    (many / "bouts/third.md").unlink()
    assert build(many).segments == SEGMENTS
    assert "recent-3.npz" in files_of_store(many)
    assert "recent-2.npz" not in files_of_store(many)
    assert stamps == {name: Layout(many).file(name).stat() for name in stamps}


def test_where_much_came_and_went_all_is_written_anew(many: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (many / "bouts/third.md").write_text(THIRD)
    build(many)
    monkeypatch.setattr(vector_parts, "RECENT_SHARE", 0.01)
    rewrite(many, "bouts/first.md", "low gloves", "gloves by the knees")
    whole = build(many)
    assert whole.embedded == 1
    names = {name for name in files_of_store(many) if name.startswith(("vectors", "codes", "recent"))}
    assert names == {"vectors-3.faiss", "codes-3.faiss"}
    assert first_hit(many, "gloves by the knees") == "Marvane waits with gloves by the knees."


def test_a_library_that_shrinks_and_grows_over_the_number_loses_nothing(
    many: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (many / "bouts/third.md").write_text(THIRD)
    build(many)
    before = texts_in(many)
    monkeypatch.setattr(vector_parts, "EXACT_UP_TO", 7)
    second = (many / "bouts/second.md").read_text()
    (many / "bouts/second.md").unlink()
    few = build(many)
    assert (few.segments, few.by_codes, few.embedded) == (6, False, 0)
    assert {name for name in files_of_store(many) if name.startswith(("vectors", "codes", "recent"))} == {
        "vectors-3.faiss"
    }
    (many / "bouts/second.md").write_text(second)
    again = build(many)
    assert again.by_codes
    assert texts_in(many) == before


def test_a_store_made_before_there_were_codes_is_searched_whole(built: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(vector_parts, "EXACT_UP_TO", 3)
    library = open_library(built)
    assert library.store.is_searched_whole
    assert library.find("low gloves").hits
    assert not library.build().by_codes, "nothing changed, and nothing was written"
    (built / "bouts/third.md").write_text(THIRD)
    assert library.build().by_codes


DAMAGES: dict[str, Damage] = {
    "codes cut short": cut("codes-*"),
    "codes gone": delete("codes-*"),
    "codes of something else": fill("codes-*", b"codes"),
    "codes overwritten": overwrite("codes-*", 0, 0.05),
    "recent cut short": cut("recent-*"),
    "recent gone": delete("recent-*"),
    "recent overwritten": overwrite("recent-*", 0, 1),
}


@pytest.mark.parametrize("name", DAMAGES)
def test_a_torn_file_is_told_and_mended(many: Path, name: str, fightnotes: RunCommand) -> None:
    (many / "bouts/third.md").write_text(THIRD)
    build(many)
    whole = texts_in(many)
    DAMAGES[name](many)
    with pytest.raises(StoreTorn, match="fightnotes build"):
        open_library(many).find("low gloves")
    assert fightnotes("find", "low gloves", "--library", many).exit_code == 1
    report = open_library(many).build()
    assert report.rebuilt_because
    assert report.embedded == TEXTS + 1
    assert texts_in(many) == whole


def test_codes_of_other_vectors_are_not_taken(many: Path, tmp_path: Path) -> None:
    other = tmp_path / "codes-1.faiss"
    shutil.copy(Layout(many).file("codes-1.faiss"), other)
    (many / "bouts/third.md").write_text(THIRD)
    for path in Layout(many).folder.glob("*-1.*"):
        path.unlink()
    open_library(many).build()
    (codes,) = Layout(many).folder.glob("codes-*")
    shutil.copy(other, codes)
    with pytest.raises(StoreTorn):
        open_library(many).find("low gloves")


def test_the_build_says_how_such_a_library_is_searched(many: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("build", "--library", many)
    assert "very many moments" in result.stdout
    assert not result.stderr
