"""`fightnotes check`: its numbers against the demo, counted by hand and in the files, and against an untidy library."""

from __future__ import annotations

import csv
import io
import json
import os
import re
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from fightnotes.library import open_library
from tests.conftest import DEMO, RunCommand

NOTE = """---
bout: a
title: A
date: 2031-03-08
red: Ines Corvale
blue: Rika Brandaal
media: a.mp4
analyst: mk
---
- 0:10 a jab #jab #jabb by:corvale
- 0:20 another #Jabb by:nobody
- 0:30 without a tag
untimed words behind a time belong to it

## Thoughts
no time here
"""


def checked(fightnotes: RunCommand, root: Path) -> dict[str, Any]:
    return json.loads(fightnotes("check", "--library", root, "--format", "json").stdout)


@pytest.fixture
def untidy(tmp_path: Path) -> Path:
    files = {
        "library.yaml": b"title: Mine\n",
        "vocabulary.yaml": b"concepts:\n- {id: jab, label: jab}\n",
        "bouts/a.md": NOTE.encode(),
        "bouts/b.md": "- 0:10 UTF-16".encode("utf-16"),
        "bouts/c.md": b"- R1 2:10 no front matter\n",
        "notes/2030-01-01 Corvale v Umoreke.md": b"- R1 2:10 jab\n",
        "captions/a.vtt": b"WEBVTT\n",
        "media/other.mp4": b"\0",
        "README.md": b"prose\n",
        "one.pdf": b"\0",
        "two.pdf": b"\0",
    }
    for name, content in files.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_bytes(content)
    return tmp_path


def test_the_demo_counted_in_its_files(fightnotes: RunCommand) -> None:
    found = checked(fightnotes, DEMO)
    texts = [path.read_text(encoding="utf-8") for path in (*DEMO.glob("bouts/*.md"), *DEMO.glob("second_look/*.md"))]
    fronts = [text.split("---\n")[1] for text in texts if text.startswith("---\n")]
    assert found["bouts"]["bouts"] == len(list(DEMO.glob("bouts/*.md"))) == 14
    tags = re.findall(r"(?<![\w\\`#])#[A-Za-z][\w-]*", "\n".join(text.split("---\n")[-1] for text in texts))
    assert (found["tags"]["tags"], found["tags"]["unknown"]) == (len(tags), 0)
    named = {name for front in fronts for name in re.findall(r"file: (media/[^,}\s]+)", front)}
    assert set(found["recordings"]["missing"]) == named
    assert (found["recordings"]["named"], found["recordings"]["found"]) == (len(named), 0)
    concepts = re.findall(r"^\s*- (?:\{)?id:", (DEMO / "vocabulary.yaml").read_text(encoding="utf-8"), re.MULTILINE)
    assert found["tags"]["concepts"] == len(concepts)
    people = {
        name for front in fronts for name in re.findall(r"(?:red|blue):\s+\{(?:id: [\w-]+, )?name: ([^,}]+)", front)
    }
    assert set(found["bouts"]["fighters"]) == people
    assert [found[key] for key in ("problems", "left_alone", "unreadable")] == [[], [], 0]


def test_the_demo_is_what_a_build_makes_of_it(demo: Path, fightnotes: RunCommand) -> None:
    found, library = checked(fightnotes, demo), open_library(demo)
    notes, segments = found["notes"], library.read().segments
    assert notes["timed"] + notes["untimed"] + notes["spoken"] == library.build().segments == len(segments)
    assert notes["analysts"] == Counter(each.analyst for each in segments if each.kind == "note")
    assert notes["with_media_time"] == sum(each.start is not None for each in segments)
    assert found["next_steps"] == []
    result = fightnotes("check", "--library", demo)
    assert (result.exit_code, result.stdout.splitlines()[-1]) == (0, "  nothing: all is well")


def test_an_untidy_library(untidy: Path, fightnotes: RunCommand) -> None:
    found = checked(fightnotes, untidy)
    assert found["title"] == "Mine"
    assert found["bouts"] == {
        "bouts": 2, "without_date": 1, "without_fighters": 1, "without_rounds": 2, "without_bells": 2,
        "fighters": ["Ines Corvale", "Rika Brandaal"],
    }  # fmt: skip
    assert found["notes"] == {
        "files": 2, "timed": 4, "untimed": 1, "spoken": 0, "with_media_time": 3, "in_rounds": 1,
        "analysts": {"mk": 4, "": 1},
    }  # fmt: skip
    assert found["tags"] == {
        "concepts": 1, "tags": 3, "known": 1, "unknown": 2, "untagged": 2,
        "unknown_names": [{"what": "jabb", "count": 2, "first": ["bouts/a.md:10:19", "bouts/a.md:11:16"]}],
    }  # fmt: skip
    assert found["recordings"] == {"named": 1, "found": 0, "missing": ["a.mp4"], "bouts_without": 1}
    assert [(group["what"], group["count"]) for group in found["problems"]] == [
        ("could not be read", 1), ("names nobody in the bout", 1),
    ]  # fmt: skip
    left = {group["what"]: group["first"] for group in found["left_alone"]}
    assert left == {
        "no notes, captions or footage by its ending (.pdf)": ["one.pdf", "two.pdf"],
        "UTF-16 in bouts/: save it as UTF-8": ["bouts/b.md"],
        "captions that no bout names": ["captions/a.vtt"],
        "footage that no bout names": ["media/other.mp4"],
        "no line begins with a time": ["README.md"],
        "notes of no bout yet": ["notes/2030-01-01 Corvale v Umoreke.md"],
    }
    assert [step.split(":")[0].split(",")[0] for step in found["next_steps"]] == [
        "run `fightnotes start`", "run `fightnotes build`", "see `fightnotes propose`",
        "put right what could not be read or cannot be",
    ]  # fmt: skip
    assert not (untidy / ".fightnotes").exists()


def test_each_format_says_the_same(untidy: Path, fightnotes: RunCommand) -> None:
    found = checked(fightnotes, untidy)
    table = fightnotes("check", "--library", untidy)
    rows = list(csv.DictReader(io.StringIO(fightnotes("check", "--library", untidy, "--format", "csv").stdout)))
    assert table.exit_code == 1
    numbers = {(row["part"], row["what"]): row["count"] for row in rows}
    for part in ("bouts", "notes", "tags", "recordings"):
        for what, value in found[part].items():
            if isinstance(value, int):
                assert numbers[part, what] == str(value)
    assert "notes       4 with a time, 1 without; 0 moments of speech\n" in table.stdout
    assert "tags        1 in the vocabulary (1 concepts), 2 not (#jabb 2)\n" in table.stdout
    assert "recordings  0 found, 1 missing (a.mp4)\n" in table.stdout
    assert "  1 notes of no bout yet\n    notes/2030-01-01 Corvale v Umoreke.md\n" in table.stdout


def test_the_status_is_of_what_could_not_be_read(untidy: Path, fightnotes: RunCommand) -> None:
    assert fightnotes("check", "--library", untidy).exit_code == 1
    (untidy / "bouts" / "b.md").unlink()
    assert checked(fightnotes, untidy)["problems"][0]["what"] == "names nobody in the bout"
    assert fightnotes("check", "--library", untidy).exit_code == 0


@pytest.mark.skipif(os.geteuid() == 0, reason="root opens everything")
def test_a_file_that_cannot_be_opened_is_said(untidy: Path, fightnotes: RunCommand) -> None:
    (untidy / "README.md").chmod(0)
    result = fightnotes("check", "--library", untidy)
    assert (result.exit_code, "Permission denied" in result.stdout) == (1, True)


def test_links_pipes_and_names_that_are_no_text(untidy: Path, fightnotes: RunCommand) -> None:
    os.mkfifo(untidy / "pipe.md")
    (untidy / "again").symlink_to(untidy, target_is_directory=True)
    (untidy / "gone.md").symlink_to(untidy / "nowhere.md")
    (untidy / "linked.md").symlink_to(untidy / "README.md")
    Path(os.fsdecode(bytes(untidy) + b"/caf\xe9.txt")).write_text("0:10 a jab\n")
    left = {group["what"]: group["first"] for group in checked(fightnotes, untidy)["left_alone"]}
    assert left["a device or pipe"] == ["pipe.md"]
    assert left["a link to a folder, which is not followed"] == ["again"]
    assert left["a link to nothing"] == ["gone.md"]
    assert left["a link: it is not written to"] == ["linked.md"]
    assert left["a file name that is not UTF-8"] == ["caf?.txt"]
    assert fightnotes("start", untidy).exit_code == 0


def test_without_a_library_it_says_so(tmp_path: Path, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert fightnotes("check").exit_code == 2
    assert "run `fightnotes start`" in fightnotes("check", "--library", tmp_path).stdout
