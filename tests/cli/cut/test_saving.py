"""A saved cut list: edited, found again after a rebuild, added to."""

from __future__ import annotations

import json
import re
from pathlib import Path

from tests.cli.cut.samples import FIRST, STEPS, cuts_of
from tests.conftest import RunCommand


def test_a_saved_list_is_edited_reordered_and_survives_a_rebuild(library: Path, run: RunCommand, saved: Path) -> None:
    head, *entries = saved.read_text(encoding="utf-8").split("  - at: ")
    assert [entry.split("\n")[0] for entry in entries] == STEPS
    first, second, _ = entries
    second += "    title: The second step\n    handles: {before: 0, after: 2}\n"
    saved.write_text("  - at: ".join((head, second, first)), encoding="utf-8")
    notes = library / "bouts" / "first.md"
    moved = FIRST.replace("## Round 1\n", "## Round 1\n- R1 0:14 Both circle.\n\nNothing yet.\n\n").replace(
        "throws the left straight", "throws the straight left"
    )
    notes.write_text(moved, encoding="utf-8")
    assert "files changed since the last build: 1" in run("cut", "--from", saved).stderr
    assert run("build").exit_code == 0
    made = run("cut", "--from", saved, "--format", "json")
    assert made.exit_code == 0
    assert cuts_of(made) == [("bouts/first.md:18", 700, 775), ("bouts/first.md:15", 125, 188)]
    assert [cut["title"] for cut in json.loads(made.stdout)["cuts"]] == [
        "The second step",
        "Corvale v Brandaal, R1 0:10",
    ]
    assert json.loads(made.stdout)["title"] == "Steps"
    edited = saved.read_bytes()
    refused = run("cut", "--from", saved, "--save", saved)
    assert (refused.exit_code, saved.read_bytes()) == (1, edited)
    assert "was edited since it was saved, or is no saved cut list: --force writes over it" in refused.stderr
    assert run("cut", "--from", saved, "--save", saved, "--force").exit_code == 0
    assert run("cut", "--from", saved, "--save", saved).exit_code == 0
    assert "  - at: bouts/first.md:18\n" in saved.read_text(encoding="utf-8")


def test_a_lost_moment_is_named_and_the_list_is_not_overwritten(library: Path, run: RunCommand, saved: Path) -> None:
    notes = library / "bouts" / "first.md"
    notes.write_text("".join(line for line in FIRST.splitlines(True) if "R2 0:08" not in line), encoding="utf-8")
    run("build")
    before = saved.read_bytes()
    made = run("cut", "--from", saved, "--format", "json")
    assert made.exit_code == 1
    assert [place for place, _, _ in cuts_of(made)] == [STEPS[0], STEPS[2]]
    assert "bouts/first.md:14: R2 0:08-0:07 'Corvale steps outside again" in made.stderr
    assert [lost["line"] for lost in json.loads(made.stdout)["lost"]] == [14]
    again = run("cut", "--from", saved, "--save", saved)
    assert (again.exit_code, saved.read_bytes()) == (1, before)
    assert "save under another name" in again.stderr
    other = saved.with_name("found.yaml")
    assert run("cut", "--from", saved, "--save", other).exit_code == 1
    assert run("cut", "--from", other).exit_code == 0


def test_a_wrong_entry_is_named_with_its_place_and_the_rest_is_cut(run: RunCommand, saved: Path) -> None:
    saved.write_text(saved.read_text(encoding="utf-8").replace("first.md:11", "first.md"), encoding="utf-8")
    made = run("cut", "--from", saved, "--format", "json")
    assert made.exit_code == 1
    assert [place for place, _, _ in cuts_of(made)] == STEPS[1:]
    assert re.search(r"steps\.yaml:\d+:\d+: found .*expected file:line", made.stderr)


def test_what_is_no_saved_list_is_written_over_by_force_alone(tmp_path: Path, run: RunCommand) -> None:
    mine = tmp_path / "mine.txt"
    mine.write_text("thoughts")
    assert run("cut", "step", "--save", mine).exit_code == 1
    assert mine.read_text() == "thoughts"
    assert run("cut", "step", "--save", mine, "--force").exit_code == 0
    assert run("cut", "--from", mine).exit_code == 0


def test_moments_are_added_to_a_saved_list(run: RunCommand, saved: Path) -> None:
    made = run("cut", "--from", saved, "--at", "bouts/first.md:12", "--save", saved, "--format", "json")
    assert [place for place, _, _ in cuts_of(made)] == [*STEPS, "bouts/first.md:12"]
    assert cuts_of(run("cut", "--from", saved, "--format", "json")) == cuts_of(made)
