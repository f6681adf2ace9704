"""`fightnotes start` on an untidy folder, as a person runs it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from fightnotes.errors import UsageError
from fightnotes.library import open_library
from fightnotes.reading.library import read_library
from tests.conftest import MakeLibrary, RunCommand
from tests.starting.at_terminal import Terminal
from tests.starting.golden import EXPECTED, outputs
from tests.starting.untidy import FILES, make, tree, write_untidy

NOTES = "- R1 2:40 Corvale jabs\n- R1 2:10 Brandaal slips\n- R1 1:00 Corvale again\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write_untidy(tmp_path / "Ten years")


def matter(root: Path, file: str) -> list[str]:
    """The lines between the dashes."""
    return (root / file).read_text(encoding="utf-8").split("---\n")[1].splitlines()


def test_what_is_printed(tmp_path: Path, fightnotes: RunCommand) -> None:
    for name, text in outputs(tmp_path).items():
        assert text == (EXPECTED / name).read_text(encoding="utf-8"), name


def test_every_byte_of_the_notes_is_kept(folder: Path, fightnotes: RunCommand) -> None:
    """Elsewhere files stay as they are; in `bouts/` lines come above, or into front matter that was there."""
    assert fightnotes("start", folder).exit_code == 0
    after = tree(folder)
    for name, before in FILES.items():
        if name == "bouts/2030-05-03 Thackmoor v Corvale.md":
            above, dashes, below = after[name].rpartition(b"---\n")
            assert (above.startswith(b"---\n"), dashes, below) == (True, b"---\n", before)
        elif name == "bouts/halden-night.md":
            lines = after[name].splitlines(keepends=True)
            added = [line for line in lines if line not in before.splitlines(keepends=True)]
            assert added == [b"bout: halden-night\n", b"rounds: {count: 2, clock: down}\n"]
            assert b"".join(line for line in lines if line not in added) == before
        else:
            assert after[name] == before, name


@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"], ids=["LF", "CRLF", "CR"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["plain", "BOM"])
def test_front_matter_has_the_line_ends_of_its_file(
    tmp_path: Path, fightnotes: RunCommand, newline: str, mark: bytes
) -> None:
    notes = NOTES.replace("\n", newline).encode()
    make(tmp_path, {"bouts/2031-03-08 Corvale v Brandaal.md": mark + notes})
    assert fightnotes("start", tmp_path).exit_code == 0
    content = (tmp_path / "bouts/2031-03-08 Corvale v Brandaal.md").read_bytes()
    assert content.startswith(mark + f"---{newline}bout: corvale-brandaal-2031{newline}".encode())
    assert content.endswith(f"{newline}---{newline}".encode() + notes)
    reading = read_library(tmp_path)
    assert reading.problems == ()
    assert [(bout.id, len(bout.fighters)) for bout in reading.bouts] == [("corvale-brandaal-2031", 2)]
    assert [segment.round for segment in reading.segments] == [1, 1, 1]


def test_undo_takes_all_back(folder: Path, fightnotes: RunCommand) -> None:
    before = tree(folder)
    assert fightnotes("start", folder).exit_code == 0
    assert tree(folder) != before
    assert fightnotes("vocabulary", "undo", "--library", folder).exit_code == 0
    assert tree(folder) == before


def test_undo_leaves_a_folder_in_which_something_lies_since(folder: Path, fightnotes: RunCommand) -> None:
    fightnotes("start", folder)
    (folder / "converted" / "mine.txt").write_text("mine")
    assert fightnotes("vocabulary", "undo", "--library", folder).exit_code == 0
    assert [path.name for path in (folder / "converted").iterdir()] == ["mine.txt", "old"][:1]


def test_a_dry_run_and_a_second_start_change_nothing(folder: Path, fightnotes: RunCommand) -> None:
    before = tree(folder)
    assert "dry run" in fightnotes("start", folder, "--dry-run").stderr
    assert tree(folder) == before
    fightnotes("start", folder)
    begun = tree(folder)
    again = fightnotes("start", folder)
    assert (again.exit_code, again.stdout, tree(folder)) == (0, "", begun)
    assert "nothing to change: 16 bouts are begun" in again.stderr


def test_start_check_build_find(make_library: MakeLibrary, fightnotes: RunCommand) -> None:
    root = write_untidy(make_library({}))
    (root / "bouts" / "broken.md").unlink()
    assert fightnotes("start", root).exit_code == 0
    checked = json.loads(fightnotes("check", "--library", root, "--format", "json").stdout)
    built = json.loads(fightnotes("build", "--library", root, "--format", "json").stdout)
    assert built["bouts"] == checked["bouts"]["bouts"] == 16
    notes = checked["notes"]
    assert built["segments"] == notes["timed"] + notes["untimed"] + notes["spoken"]
    found = json.loads(fightnotes("find", "café lights", "--library", root, "--format", "json").stdout)
    assert found["hits"][0]["file"] == "converted/old/umoreke_vs_kazehori_2029-05-17.txt"
    said = fightnotes("find", '"shoots"', "--bout", "drayhoven-pellucar-2022", "--library", root, "--format", "json")
    hit = json.loads(said.stdout)["hits"][0]
    assert (hit["file"], hit["round"], hit["round_clock"]) == (
        "mma/Drayhoven v Pellucar 2022-12-12.markdown",
        2,
        "4:58",
    )


def test_new_notes_are_begun_and_others_left(tmp_path: Path, fightnotes: RunCommand) -> None:
    make(tmp_path, {"2031-03-08 Corvale v Brandaal.md": NOTES})
    fightnotes("start", tmp_path)
    begun = (tmp_path / "bouts/corvale-brandaal-2031.md").read_bytes()
    make(tmp_path, {"2031-09-01 Corvale v Brandaal.md": NOTES, "2031-03-08 Corvale v Brandaal talk.vtt": "WEBVTT\n"})
    result = fightnotes("start", tmp_path)
    assert (tmp_path / "bouts/corvale-brandaal-2031-2.md").exists()
    assert (tmp_path / "bouts/corvale-brandaal-2031.md").read_bytes() == begun
    assert "it belongs to bouts/corvale-brandaal-2031.md, it seems: name it in the `sources` there" in result.stderr


def test_a_file_in_the_way_is_not_written_over(tmp_path: Path, fightnotes: RunCommand) -> None:
    latin = "1:10 café\n1:20 cafés\n1:40 café\n".encode("latin-1")
    files = {"2031-03-08 Corvale v Brandaal.txt": latin, "converted/2031-03-08 Corvale v Brandaal.txt": "mine"}
    make(tmp_path, {**files, "Umoreke v Kazehori.txt": NOTES, "bouts/umoreke-kazehori.md": ""})
    result = fightnotes("start", tmp_path)
    assert (tmp_path / "converted/2031-03-08 Corvale v Brandaal.txt").read_bytes() == b"mine"
    assert (tmp_path / "bouts/umoreke-kazehori.md").read_bytes() == b""
    assert (tmp_path / "bouts/umoreke-kazehori-2.md").exists()
    assert "converted/ has a file for it already: 1" in result.stderr


@pytest.mark.parametrize("folder_named", [True, False])
def test_an_empty_folder(
    tmp_path: Path, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch, folder_named: bool
) -> None:
    monkeypatch.chdir(tmp_path)
    result = fightnotes("start", *([tmp_path] if folder_named else []))
    assert (result.exit_code, (tmp_path / "library.yaml").read_text()) == (0, f"title: {tmp_path.name}\n")
    assert fightnotes("check").exit_code == 0


def test_a_folder_inside_a_library_is_refused(folder: Path, fightnotes: RunCommand, tmp_path: Path) -> None:
    fightnotes("start", folder)
    result = fightnotes("start", folder / "old")
    assert (result.exit_code, "lies inside the library" in result.stderr) == (2, True)
    assert fightnotes("start", tmp_path / "nowhere").exit_code == 2
    assert fightnotes("start", folder, "--library", folder).exit_code == 2


def test_existing_front_matter_elsewhere_is_taken_over(tmp_path: Path, fightnotes: RunCommand) -> None:
    head = "bout: mine\nmedia: {file: a.mp4, rate: 25, bells: {1: '0:30'}}\nsources: talk.vtt\nmood: grim\n"
    make(
        tmp_path, {"deep/er/2031-03-08 Corvale v Brandaal.md": f"---\n{head}---\n{NOTES}", "deep/er/talk.vtt": "WEBVTT"}
    )
    result = fightnotes("start", tmp_path)
    assert matter(tmp_path, "bouts/mine.md") == [
        "bout: mine",
        "title: Corvale v Brandaal",
        "date: 2031-03-08",
        "rounds: {count: 1, clock: down}",
        "red: {name: Corvale}",
        "blue: {name: Brandaal}",
        'media: {file: a.mp4, rate: "25", bells: {"1": "0:30"}}',
        "sources:",
        '  - {file: "../deep/er/talk.vtt"}',
        '  - {file: "../deep/er/2031-03-08 Corvale v Brandaal.md", kind: notes}',
    ]
    assert "mood of its front matter is no key of a bout" in result.stderr
    assert read_library(tmp_path).segments[0].start == 50


@pytest.mark.parametrize(
    "head",
    [
        "---\ntitle: a\n---\n",
        "---\n---\n",
        "---\ntitle: a\n\n\n---  \n",
        "-----\ntitle: |\n  ---a\n   ---\n------\n",
        "---\r\ntitle: a\r\n---\r\n",
    ],
)
def test_missing_lines_go_into_front_matter_of_any_form(tmp_path: Path, fightnotes: RunCommand, head: str) -> None:
    make(tmp_path, {"bouts/2031-03-08 Corvale v Brandaal.md": head + NOTES})
    fightnotes("start", tmp_path)
    reading = read_library(tmp_path)
    assert reading.problems == ()
    assert [(bout.id, len(bout.fighters)) for bout in reading.bouts] == [("corvale-brandaal-2031", 2)]
    assert (reading.bouts[0].title == "Corvale v Brandaal") == ("title" not in head)
    assert len(reading.segments) == 3
    again = fightnotes("start", tmp_path)
    assert (again.stdout, "nothing to change: 1 bout is begun" in again.stderr) == ("", True)


@pytest.mark.parametrize("head", ["---\n{title: a}\n---\n", "---\ntitle: [a\n---\n", "---\n- a\n---\n"])
def test_front_matter_that_no_line_can_be_added_to_is_left_alone(
    tmp_path: Path, fightnotes: RunCommand, head: str
) -> None:
    make(tmp_path, {"bouts/2031-03-08 Corvale v Brandaal.md": head + NOTES})
    assert "front matter that cannot be read" in fightnotes("start", tmp_path).stderr
    assert (tmp_path / "bouts/2031-03-08 Corvale v Brandaal.md").read_text() == head + NOTES


def test_answers_by_option(tmp_path: Path, fightnotes: RunCommand) -> None:
    files = {"Kazehori v Corvale 8.3.2030.md": NOTES, "quillace-morrowin.txt": "1:10 a\n1:20 b\n1:30 c\n"}
    make(tmp_path, {**files, "loose.vtt": "WEBVTT\n", "todo.txt": "10:30 call\n"})
    asked = json.loads(fightnotes("start", tmp_path, "--dry-run", "--format", "json").stdout)
    assert [question["key"] for question in asked["questions"]] == [
        "title", "analyst", "clock", "red", "notes:todo.txt", "captions:loose.vtt",
        "date:Kazehori v Corvale 8.3.2030.md", "fighters:quillace-morrowin.txt",
    ]  # fmt: skip
    given = {
        "title": "My notes", "analyst": "mk", "clock": "up", "red": "second", "notes:todo.txt": "no",
        "captions:loose.vtt": "quillace-morrowin.txt", "date:Kazehori v Corvale 8.3.2030.md": "2030-03-08",
        "fighters:quillace-morrowin.txt": "",
    }  # fmt: skip
    options = [word for key, answer in given.items() for word in ("--answer", f"{key}={answer}")]
    made = json.loads(fightnotes("start", tmp_path, "--format", "json", *options).stdout)
    assert made["questions"] == []
    assert made["bouts"] == ["bouts/kazehori-corvale-2030.md", "bouts/quillace-morrowin.md"]
    reading = read_library(tmp_path)
    assert reading.settings.title == "My notes"
    people = [(bout.red.name, bout.blue.name, bout.analyst) for bout in reading.bouts if bout.red and bout.blue]
    assert people == [("Corvale", "Kazehori", "mk"), ("Morrowin", "Quillace", "mk")]
    assert (str(reading.bouts[0].date), reading.bouts[0].rounds.clock) == ("2030-03-08", "up")
    assert [source.kind for source in reading.bouts[1].sources] == ["notes", "transcript"]


def test_wrong_answers_are_refused(tmp_path: Path, fightnotes: RunCommand) -> None:
    make(tmp_path, {"quillace-morrowin.txt": "1:10 a\n1:20 b\n1:30 c\n"})
    for answer in ("hue=red", "title", "fighters:quillace-morrowin.txt=Quillace"):
        result = fightnotes("start", tmp_path, "--answer", answer)
        assert (result.exit_code, (tmp_path / "library.yaml").exists()) == (2, False)
    library = open_library(tmp_path)
    with pytest.raises(UsageError, match="nothing is asked as 'hue'"):
        library.start_answers(library.survey(), [("hue", "red")])


def test_asking_with_the_answers_piped_in(tmp_path: Path, fightnotes: RunCommand) -> None:
    make(tmp_path, {"quillace-morrowin.txt": "1:10 a\n1:20 b\n1:30 c\n", "todo.txt": "10:30 call\n"})
    words = ("start", tmp_path, "--ask")
    stopped = fightnotes(*words, stdin="Shelf\n")
    assert (stopped.exit_code, "nothing is written" in stopped.stderr) == (1, True)
    refused = fightnotes(*words, stdin="Shelf\nmk\nno\nQuillace\nQuillace v Morrowin\nno\n")
    assert "expected two names" in refused.stderr
    assert (refused.exit_code, "+red: {name: Quillace}" in refused.stdout) == (1, True)
    assert not (tmp_path / "library.yaml").exists()
    assert fightnotes(*words, stdin=".\nyes\n").exit_code == 0
    assert matter(tmp_path, "bouts/quillace-morrowin.md")[:2] == ["bout: quillace-morrowin", "title: quillace morrowin"]


def test_asking_at_a_terminal(tmp_path: Path) -> None:
    """A terminal asks without being told to; Enter takes the guess, and the diff is shown before the last question."""
    make(tmp_path, {"quillace-morrowin.txt": "1:10 a\n1:20 b\n1:30 c\n"})
    screen = Terminal("start", str(tmp_path))
    screen.answer("What shall the library be called?", "Shelf")
    screen.answer("Whose notes are these?", "mk")
    screen.answer("who fights?", "")
    screen.answer("Write this? [yes]", "")
    assert screen.end() == 0
    assert screen.seen.index("+red: {name: Quillace}") < screen.seen.index("Write this?")
    assert (tmp_path / "library.yaml").read_text() == "title: Shelf\n"
    assert matter(tmp_path, "bouts/quillace-morrowin.md")[-1] == "analyst: mk"


def test_check_tells_a_recording_that_is_missing_from_one_that_must_not_be_opened(
    make_library: MakeLibrary, fightnotes: RunCommand
) -> None:
    root = make_library(
        {
            "bouts/a.md": "---\nmedia: gone.mp4\n---\n- 0:10 jab\n",
            "bouts/b.md": "---\nmedia: list.m3u\n---\n- 0:10 jab\n",
            "list.m3u": "#EXTM3U\n/etc/passwd\n",
        }
    )
    checked = fightnotes("check", "--library", root, "--format", "json")
    said = json.loads(checked.stdout)
    assert checked.exit_code == 1
    assert said["recordings"]["missing"] == ["gone.mp4"]
    assert (said["recordings"]["named"], said["recordings"]["found"]) == (2, 0)
    assert any("list.m3u" in place for group in said["problems"] for place in group["first"])
