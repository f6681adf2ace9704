"""`find --open` and `--play`: the editor at the line, the player at the second, and no shell in between."""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path

import pytest

from tests.conftest import RunCommand

RECORDER = "import json, sys; json.dump(sys.argv[1:], open(sys.argv[0] + '.json', 'w'))"


@pytest.fixture(autouse=True)
def _nothing_named(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("VISUAL", "EDITOR", "FIGHTNOTES_EDITOR", "FIGHTNOTES_PLAYER"):
        monkeypatch.delenv(name, raising=False)


def stand_in(folder: Path, name: str, status: int = 0) -> Path:
    """A program that writes down the words it was started with."""
    program = folder / name
    program.write_text(f"#!{sys.executable}\n{RECORDER}\nsys.exit({status})\n")
    program.chmod(0o755)
    return program


def given(program: Path) -> list[str]:
    words: list[str] = json.loads(program.with_name(f"{program.name}.json").read_text())
    return words


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("vim", ["+19", "FILE"]),
        ("nano", ["+19", "FILE"]),
        ("emacsclient", ["+19", "FILE"]),
        ("code", ["--goto", "FILE:19"]),
        ("hx", ["FILE:19"]),
        ("kate", ["--line", "19", "FILE"]),
        ("my-editor", ["FILE"]),
    ],
)
def test_the_editor_opens_at_the_line(
    root: Path, tmp_path: Path, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch, name: str, words: list[str]
) -> None:
    program = stand_in(tmp_path, name)
    monkeypatch.setenv("EDITOR", str(program))
    result = fightnotes("find", "lead", "foot", "outside", "--open", "--library", root)
    assert result.exit_code == 0
    assert "bouts/first.md:19" in result.stdout
    assert given(program) == [word.replace("FILE", str(root / "bouts" / "first.md")) for word in words]
    assert ("FIGHTNOTES_EDITOR" in result.stderr) == (name == "my-editor")


def test_visual_goes_before_editor_and_the_own_command_before_both(
    root: Path, tmp_path: Path, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch
) -> None:
    editor, visual, own = (stand_in(tmp_path, name) for name in ("vi", "vim", "own"))
    words = ("find", "jab", "--open", "--hit", "2", "--tag", "jab", "--library", root)
    monkeypatch.setenv("EDITOR", str(editor))
    monkeypatch.setenv("VISUAL", f"{visual} -p 'two words'")
    assert fightnotes(*words).exit_code == 0
    assert given(visual)[:2] == ["-p", "two words"]
    monkeypatch.setenv("FIGHTNOTES_EDITOR", f"{own} --at={{line}} {{file}} '; touch {tmp_path}/shell' $HOME {{other}}")
    hits = json.loads(fightnotes(*words, "--format", "json").stdout)["hits"]
    file, line = root / hits[1]["file"], hits[1]["line"]
    assert given(own) == [f"--at={line}", str(file), f"; touch {tmp_path}/shell", "$HOME", "{other}"]
    assert not (tmp_path / "shell").exists()
    assert not editor.with_name("vi.json").exists()


def test_a_note_opens_where_it_stands_now(
    root: Path, tmp_path: Path, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = tmp_path / "copy {line} $(touch shell)"
    shutil.copytree(root, copy)
    note = copy / "bouts" / "first.md"
    note.write_text(note.read_text(encoding="utf-8").replace("## Round 1", "\n\n## Round 1"), encoding="utf-8")
    program = stand_in(tmp_path, "vim")
    monkeypatch.setenv("VISUAL", str(program))
    monkeypatch.chdir(tmp_path)
    assert fightnotes("find", "lead", "foot", "outside", "--open", "--library", copy).exit_code == 0
    assert given(program) == ["+21", str(note)]
    note.write_text(note.read_text(encoding="utf-8").replace("plants the lead foot", "moves"), encoding="utf-8")
    result = fightnotes("find", "lead", "foot", "outside", "--open", "--library", copy)
    assert "opened where it stood at the last build: bouts/first.md" in result.stderr
    assert given(program) == ["+19", str(note)]
    assert not (tmp_path / "shell").exists()


def test_the_player_starts_at_the_second(
    root: Path, tmp_path: Path, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = tmp_path / "copy"
    shutil.copytree(root, copy)
    program = stand_in(tmp_path, "player")
    monkeypatch.setenv("FIGHTNOTES_PLAYER", f"{program} -ss {{seconds}} {{file}}")
    speech = ("find", "outside foot position", "--in", "transcripts", "--play", "--library", copy)
    result = fightnotes(*speech)
    assert result.exit_code == 1
    assert "not at hand: media/talk.mp4, media/first bout.mp4; looked in" in result.stderr
    (copy / "media").mkdir()
    (copy / "media" / "first bout.mp4").write_bytes(b"")
    assert fightnotes(*speech).exit_code == 0
    assert given(program) == ["-ss", "35.000", str(copy / "media" / "first bout.mp4")]
    (copy / "media" / "talk.mp4").write_bytes(b"")
    assert fightnotes(*speech).exit_code == 0
    assert given(program) == ["-ss", "15.000", str(copy / "media" / "talk.mp4")]
    silent = fightnotes(
        "find", "--tag", "open-guard-bait", "--bout", "brandaal-iturbena-2030", "--play", "--library", copy
    )
    assert silent.exit_code == 1
    assert "bouts/second.md:11 has no time on a recording" in silent.stderr


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ({}, "no editor is named: set VISUAL or EDITOR to one, or FIGHTNOTES_EDITOR"),
        ({"EDITOR": "no-such-editor"}, "no-such-editor cannot be started, No such file or directory: set VISUAL"),
        ({"EDITOR": "'vim"}, "EDITOR cannot be read, no closing quotation: 'vim"),
        ({"FIGHTNOTES_EDITOR": "vim +{line}"}, "FIGHTNOTES_EDITOR has no {file} in it"),
    ],
)
def test_an_editor_that_is_not_there_is_said_with_the_remedy(
    root: Path, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch, more: dict[str, str], message: str
) -> None:
    for name, value in more.items():
        monkeypatch.setenv(name, value)
    result = fightnotes("find", "jab", "--open", "--library", root)
    assert result.exit_code == 1
    assert message in result.stderr
    assert "bouts/" in result.stdout


def test_a_player_that_is_not_there_is_said_with_the_remedy(root: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("find", "jab", "--play", "--library", root)
    assert result.exit_code == 1
    assert (
        "no player is named: set FIGHTNOTES_PLAYER to a command such as 'ffplay -ss {seconds} {file}'" in result.stderr
    )


def test_a_hit_that_is_not_there_and_a_program_that_fails(
    root: Path, tmp_path: Path, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("EDITOR", str(stand_in(tmp_path, "vi", status=3)))
    failed = fightnotes("find", "jab", "--open", "--library", root)
    assert (failed.exit_code, f"{tmp_path}/vi ended with 3" in failed.stderr) == (1, True)
    gone = fightnotes("find", "jab", "-n", "1", "--open", "--hit", "2", "--library", root)
    assert (gone.exit_code, "there is no hit 2 to open" in gone.stderr) == (1, True)
    assert fightnotes("find", "jab", "--hit", "2", "--library", root).exit_code == 2
