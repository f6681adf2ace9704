"""A change of the library is made whole or not at all, whoever is killed, and two never mix."""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from fightnotes.editing import atomic
from fightnotes.editing.undo_file import FOLDER, read_undo
from fightnotes.errors import FightnotesError
from fightnotes.library import Library, open_library
from tests.conftest import RunCommand
from tests.editing.kills import MEMORY, PLANS, UNDO, Server, contents, make_library, scratch, serving, try_kills

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="forks and kills")


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    with serving() as server:
        yield server


@pytest.fixture
def root() -> Iterator[Path]:
    with tempfile.TemporaryDirectory(dir=MEMORY if MEMORY.is_dir() else None) as folder:
        make_library(Path(folder) / "library")
        yield Path(folder) / "library"


def begun(root: Path) -> Path:
    (entry,) = (root / FOLDER).glob("*.begun")
    return entry


def merged(root: Path) -> dict[str, bytes]:
    """What the merge that is killed makes of a library."""
    make_library(root.with_name("merged"))
    library = open_library(root.with_name("merged"))
    library.apply(PLANS["merge"](library))
    return contents(library.root)


@pytest.mark.parametrize("edit", [*PLANS, UNDO])
def test_forty_kills_leave_no_mixture(server: Server, root: Path, edit: str) -> None:
    chance = random.Random(edit)

    def choose(lines: int) -> list[int]:
        return [*range(1, lines + 1, lines // 20 + 1), *chance.choices(range(1, lines + 1), k=40)][:40]

    tally = try_kills(server, edit, root.parent, choose)
    assert tally.kills == 40
    assert (tally.mixtures_after, tally.scratch_after, tally.not_taken_back) == (0, 0, 0)


@pytest.mark.parametrize("files", [2, 3, 4])
def test_a_change_that_was_cut_off_is_finished_and_said(server: Server, root: Path, files: int) -> None:
    before, after = contents(root), merged(root)
    server.kill(root, "merge", files, "replaced")  # the journal is the first file to take its name
    assert begun(root).is_file()
    assert contents(root) not in (before, after)
    library = open_library(root)
    said = "a change that was cut off is finished: merge jab into stick; `fightnotes vocabulary undo` takes it back"
    assert library.take_notices() == (said,)
    assert contents(root) == after
    assert library.take_notices() == ()
    assert library.undo() == "merge jab into stick"
    assert contents(root) == before
    assert os.listdir(root / FOLDER) == []


def test_whatever_reads_the_files_finishes_it_first(server: Server, root: Path) -> None:
    library = open_library(root)
    server.kill(root, "merge", 2, "replaced")
    assert "#jab" not in {f"#{tag.concept}" for segment in library.read().segments for tag in segment.tags}
    server.kill(root, "refuse a tag", 1, "replaced")
    library.apply(library.plan_labels("slip", ["duck away"]))
    assert "{id: slip, label: slip, also: [duck away]}" in (root / "vocabulary.yaml").read_text()
    assert (root / "rejected-tags.yaml").exists()
    assert scratch(root) == []


def test_a_command_says_it_on_standard_error(server: Server, root: Path, fightnotes: RunCommand) -> None:
    server.kill(root, "merge", 3, "replaced")
    result = fightnotes("vocabulary", "show", "--library", root)
    assert "a change that was cut off is finished: merge jab into stick" in result.stderr
    assert "cut off" not in result.stdout
    assert "cut off" not in fightnotes("vocabulary", "show", "--library", root).stderr


@pytest.mark.parametrize("files", [1, 2, 3, 4, 5])
def test_other_lines_edited_in_between_stay_and_the_change_is_finished(server: Server, root: Path, files: int) -> None:
    server.kill(root, "merge", files, "replaced")
    for name in ("bouts/a.md", "bouts/c.md", "vocabulary.yaml"):
        text = (root / name).read_text()
        (root / name).write_text(f"# of mine\n{text}# mine, too\n" if name == "vocabulary.yaml" else text + "Mine.\n")
    assert "is finished" in open_library(root).take_notices()[0]
    after = merged(root)
    assert (root / "bouts/a.md").read_bytes() == after["bouts/a.md"] + b"Mine.\n"
    assert (root / "bouts/b.md").read_bytes() == after["bouts/b.md"]
    assert (root / "bouts/c.md").read_bytes() == after["bouts/c.md"] + b"Mine.\n"
    assert (root / "vocabulary.yaml").read_bytes() == b"# of mine\n" + after["vocabulary.yaml"] + b"# mine, too\n"


@pytest.mark.parametrize("files", [1, 2])
@pytest.mark.parametrize("earlier", ["", "# mine\n- {file: x.md, time: null, text: y, concept: z}\n"])
def test_a_refusal_is_finished_once_whatever_was_added_in_between(
    server: Server, root: Path, files: int, earlier: str
) -> None:
    path = root / "rejected-tags.yaml"
    if earlier:
        path.write_text(earlier)
    server.kill(root, "refuse a tag", files, "replaced")
    with path.open("a") as file:
        file.write("# mine, too\n")
    library = open_library(root)
    if not earlier and files == 1:  # the file began twice
        assert "rejected-tags.yaml:1:1" in library.take_notices()[0]
        assert path.read_text() == "# mine, too\n"
        return
    assert "is finished: refuse slip" in library.take_notices()[0]
    assert path.read_text().count('concept: "slip"') == 1
    assert earlier in path.read_text()
    library.undo()
    assert path.read_text() == f"{earlier}# mine, too\n"


def test_a_line_of_the_change_edited_in_between_is_named_and_nothing_is_touched(
    server: Server, root: Path, fightnotes: RunCommand
) -> None:
    server.kill(root, "merge", 2, "replaced")
    note = root / "bouts/b.md"
    original = note.read_text()
    note.write_text(original.replace("Twice.", "Thrice."))
    left = contents(root)
    shown = fightnotes("vocabulary", "show", "--library", root)
    assert shown.exit_code == 0
    assert "merge jab into stick" in shown.stderr
    assert "bouts/b.md:9:1: found lines that another hand changed since" in shown.stderr
    assert "either '- R1 1:20 Twice. #jab #stick by:corvale\\n', as before the change" in shown.stderr
    assert "or '- R1 1:20 Twice. #stick by:corvale\\n', as after it" in shown.stderr
    assert f"or delete undo/{begun(root).name}" in shown.stderr
    refused = fightnotes("vocabulary", "label", "slip", "--also", "duck", "--library", root)
    assert refused.exit_code == 1
    assert "another hand" in refused.stderr
    assert contents(root) == {name: content for name, content in left.items() if not name.endswith(".part")}
    note.write_text(original.replace("Twice. #jab #stick", "Twice. #stick"))
    assert "another hand" in open_library(root).take_notices()[0], "the other lines of the file are as before"
    note.write_text(original)
    assert "is finished" in open_library(root).take_notices()[0]
    assert contents(root) == merged(root)


def test_the_entry_deleted_leaves_all_as_it_is(server: Server, root: Path) -> None:
    server.kill(root, "merge", 2, "replaced")
    (root / "bouts/b.md").unlink()
    library = open_library(root)
    assert "bouts/b.md: found no file" in library.take_notices()[0]
    left = contents(root)
    begun(root).unlink()
    assert library.take_notices() == ()
    library.apply(library.plan_labels("slip", ["duck away"]))
    assert {name for name, content in contents(root).items() if left[name] != content} == {"vocabulary.yaml"}


def test_a_change_under_way_in_a_living_process_is_waited_for(server: Server, root: Path) -> None:
    server.begin(root, "merge", "replaced", 3, "pause")
    assert server.said() == "paused"
    assert begun(root)
    library = open_library(root)
    assert library.take_notices() == ()
    assert contents(root) == merged(root), "the reader waited, and did not finish it a second time"
    server.said()
    assert server.said() == "ended 0"


def test_two_who_edit_at_once_take_turns(root: Path) -> None:
    script = (
        "import sys\nfrom fightnotes import open_library\nlibrary = open_library(sys.argv[1])\n"
        "for number in range(12):\n"
        "    while True:\n"
        "        try:\n"
        "            library.apply(library.plan_labels('slip', [f'{sys.argv[2]} {number}']))\n"
        "            break\n"
        "        except Exception as error:\n"
        "            assert 'read' in str(error), error\n"
    )
    both = [subprocess.Popen([sys.executable, "-c", script, str(root), name]) for name in ("left", "right")]
    assert [process.wait() for process in both] == [0, 0]
    library = open_library(root)
    labels = library.read().vocabulary.by_id["slip"].also
    assert sorted(labels) == sorted(f"{name} {number}" for name in ("left", "right") for number in range(12))
    assert len(os.listdir(root / FOLDER)) == 24
    for _ in range(24):
        library.undo()
    assert contents(root) == contents(make_library(root.parent / "fresh").root)


def test_a_file_that_another_hand_changes_while_the_change_is_made_stops_it_for_good(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    library, before = open_library(root), contents(root)
    plan = PLANS["merge"](library)
    replaced = os.replace

    def meanwhile(source: Path, target: Path) -> None:
        replaced(source, target)
        if target.name == "a.md":
            (root / "bouts/c.md").write_text("mine\n")

    monkeypatch.setattr(atomic.os, "replace", meanwhile)
    with pytest.raises(FightnotesError, match="a change made meanwhile"):
        library.apply(plan)
    monkeypatch.undo()
    assert library.take_notices() == ()
    assert contents(root) == before | {"bouts/c.md": b"mine\n"}


@pytest.mark.parametrize("error", [OSError(28, "No space left on device", "a file"), KeyboardInterrupt()])
def test_a_full_disk_or_an_interrupt_takes_the_change_back_at_once(
    root: Path, monkeypatch: pytest.MonkeyPatch, error: BaseException
) -> None:
    library, before = open_library(root), contents(root)
    plan = PLANS["merge"](library)
    replaced = os.replace

    def third(source: Path, target: Path) -> None:
        if target.name == "c.md" and "merge" not in (root / "bouts/c.md").read_text() and not third_seen:
            third_seen.append(target)
            raise error
        replaced(source, target)

    third_seen: list[Path] = []
    monkeypatch.setattr(atomic.os, "replace", third)
    with pytest.raises((FightnotesError, KeyboardInterrupt)):
        library.apply(plan)
    assert contents(root) == before
    assert os.listdir(root / FOLDER) == []
    assert library.take_notices() == ()


def test_a_torn_entry_is_told_and_stops_edits_alone(root: Path) -> None:
    (root / FOLDER).mkdir()
    (root / FOLDER / "20310308T210500.000000Z-x.begun").write_text("{")
    library = open_library(root)
    assert "expected an undo file" in library.take_notices()[0]
    assert library.read().segments
    with pytest.raises(FightnotesError, match="expected an undo file"):
        library.apply(PLANS["label"](library))


# Undo, after other lines came and went


@pytest.fixture
def noted(root: Path) -> tuple[Library, Path]:
    library = open_library(root)
    library.apply(PLANS["take tags"](library))
    return library, root / "bouts/a.md"


def test_undo_finds_its_lines_after_others_came_and_went(noted: tuple[Library, Path]) -> None:
    library, note = noted
    text = note.read_text()
    text = text.replace("## Round 1\n", "## Round 1\nThey circle.\n\n- R1 1:50 First blood.\n")
    text = text.replace("- R1 0:58 Off the line. #slip by:brandaal\n", "") + "- R1 0:20 The end.\n"
    note.write_text(text)
    library.undo()
    assert note.read_text() == text.replace(" #slip by:corvale", " by:corvale")


def test_undo_takes_over_an_ending_that_an_editor_gave_the_last_line(root: Path) -> None:
    note = root / "bouts/a.md"
    note.write_text(note.read_text().rstrip("\n"))
    library = open_library(root)
    library.apply(PLANS["take tags"](library))
    note.write_text(note.read_text() + "\n- R1 0:20 The end.\n")
    library.undo()
    assert note.read_text().endswith("And again. #jabb by:corvale\n- R1 0:20 The end.\n")


def test_undo_refuses_where_two_places_may_be_meant(root: Path) -> None:
    library = open_library(root)
    vocabulary = root / "vocabulary.yaml"
    entry = "  - id: {0}\n    label: {0}\n    broader: punch\n"
    library.apply(library.plan_labels("slip", ["duck away"]))
    before = vocabulary.read_text()
    text = before + "".join(before.splitlines(True)[-4:])
    vocabulary.write_text(text)
    with pytest.raises(FightnotesError, match=r"vocabulary\.yaml:9:1: found 2 places that read like it"):
        library.undo()
    assert vocabulary.read_text() == text
    vocabulary.write_text(before + entry.format("hook"))
    library.undo()
    assert "duck away" not in vocabulary.read_text()


def test_undo_of_lines_taken_out_puts_them_back_where_they_were(root: Path) -> None:
    library = open_library(root)
    vocabulary = root / "vocabulary.yaml"
    before = vocabulary.read_text()
    library.apply(library.plan_retire("stick"))
    vocabulary.write_text("# mine\n" + vocabulary.read_text() + "  - {id: hook, label: hook}\n")
    library.undo()
    assert vocabulary.read_text() == "# mine\n" + before + "  - {id: hook, label: hook}\n"


def test_a_refusal_between_others_is_taken_back_alone(root: Path) -> None:
    library = open_library(root)
    first, second, third = library.read().segments[:3]
    files = [library.apply(library.plan_rejection(segment, "stick")) for segment in (first, second, third)]
    lines = (root / "rejected-tags.yaml").read_text().splitlines()
    library.undo(files[1])
    assert (root / "rejected-tags.yaml").read_text().splitlines() == [*lines[:2], lines[3]]


def test_an_entry_tells_both_ways_and_the_digests(root: Path) -> None:
    library = open_library(root)
    path = library.apply(PLANS["merge"](library))
    assert path is not None
    entry = read_undo(path)
    assert {edit.file for edit in entry.edits} == {edit.file for edit in entry.again} == entry.files.keys()
    assert all(digests.before != digests.after for digests in entry.files.values())
