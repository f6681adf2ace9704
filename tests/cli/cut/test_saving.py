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
        "outside step, R1 0:10",
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


def test_another_file_s_moment_is_taken_only_where_it_is_accepted(library: Path, run: RunCommand, saved: Path) -> None:
    """The bout's notes were divided: its second round stands in a file of its own."""
    notes = library / "bouts" / "first.md"
    line = next(line for line in FIRST.splitlines(True) if "R2 0:08" in line)
    notes.write_text(FIRST.replace(line, ""), encoding="utf-8")
    moved = FIRST.replace("bout: first", "bout: again").partition("## Round 1")[0] + line
    (library / "bouts" / "again.md").write_text(moved, encoding="utf-8")
    run("build")
    refused = run("cut", "--from", saved, "--format", "json")
    assert refused.exit_code == 1
    assert [place for place, _, _ in cuts_of(refused)] == [STEPS[0], STEPS[2]]
    assert "`fightnotes cut --accept` takes bouts/again.md:10, R2 0:08-0:07 'Corvale steps" in refused.stderr
    assert [lost["instead"] for lost in json.loads(refused.stdout)["lost"]] == ["bouts/again.md:10"]
    accepted = run("cut", "--from", saved, "--accept", "--save", saved, "--format", "json")
    assert accepted.exit_code == 0
    assert [place for place, _, _ in cuts_of(accepted)] == [STEPS[0], "bouts/again.md:10", STEPS[2]]
    assert "is taken in its place" in accepted.stderr
    again = run("cut", "--from", saved)
    assert (again.exit_code, "in its place" in again.stderr) == (0, False)


def test_places_alone_make_a_list_by_hand_and_duplicates_are_said(run: RunCommand, tmp_path: Path) -> None:
    mine = tmp_path / "mine.yaml"
    entries = (f"  - at: {STEPS[0]}\n", f"  - {{at: '{STEPS[0]}', title: The step}}\n", f"  - at: {STEPS[1]}\n")
    mine.write_text(f"cuts:\n{''.join(entries)}", encoding="utf-8")
    made = run("cut", "--from", mine, "--format", "json")
    assert made.exit_code == 0
    assert [place for place, _, _ in cuts_of(made)] == STEPS[:2]
    assert cuts_of(made)[0][1:] == (125, 188), "the library's handles, 1 and 0.5 s"
    assert f"{STEPS[0]}: picked twice: it is cut once, without the title of the second entry" in made.stderr
    twice = run("cut", "--at", STEPS[0], "--at", STEPS[0])
    assert f"{STEPS[0]}: picked twice: it is cut once\n" in twice.stderr
    filled = tmp_path / "filled.yaml"
    assert run("cut", "--from", mine, "--save", filled).exit_code == 0
    assert "    words: Corvale plants the lead foot outside" in filled.read_text(encoding="utf-8")
    mine.write_text("cuts:\n  - at: bouts/first.md:9\n", encoding="utf-8")
    lost = run("cut", "--from", mine)
    assert lost.exit_code == 1
    assert "bouts/first.md:9: no note stands there; nearest is bouts/first.md:11," in lost.stderr


def test_a_saved_list_is_never_written_over_by_another_output(run: RunCommand, saved: Path, tmp_path: Path) -> None:
    before = saved.read_bytes()
    mine = tmp_path / "mine.yaml"
    mine.write_text(f"cuts:\n  - at: {STEPS[0]}\n", encoding="utf-8")
    for words in (
        ("cut", "step", "--to", "edl", "--out", saved),
        ("cut", "--from", mine, "--to", "csv", "--out", mine),
        ("cut", "step", "--sheet", saved),
        ("cut", "--from", mine, "--save", mine),
    ):
        assert run(*words).exit_code == 1, words
    assert saved.read_bytes() == before
    assert mine.read_text(encoding="utf-8") == f"cuts:\n  - at: {STEPS[0]}\n"
    assert run("cut", "step", "--save", tmp_path).exit_code == 1
