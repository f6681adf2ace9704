"""Changes across a library on the disk: planned, shown, applied, read again, undone."""

from __future__ import annotations

from pathlib import Path

import pytest

from fightnotes.editing.line_edit import read_exact, shown
from fightnotes.editing.plan import apply_plan, take_back
from fightnotes.errors import UnknownName, UnreadableFile, UsageError
from fightnotes.model import Concept
from fightnotes.reading.library import read_library
from fightnotes.vocabulary.edits import (
    LibraryText,
    Plan,
    plan_concept,
    plan_labels,
    plan_merge,
    plan_rename,
    plan_retire,
    plan_split,
)
from tests.line_edits import apply_edits

VOCABULARY = """\
# House words
concepts:
  - id: punch
    label: punch

  - id: jab
    label: jab
    also: [lead straight]   # never the hook
    broader: punch
    definition: "A straight punch with the lead hand."

  - {id: stick, label: stick, broader: punch, related: [slip], definition: "A long jab."}
  # ---- defence
  - {id: slip, label: slip}
terms:
  - {say: ropes}
"""
NOTE = """\
---
bout: a-b-2031
title: A v B
red: {name: Ines Corvale}
blue: {name: Rika Brandaal}
---
## Round 1
- R1 1:40 Corvale in behind it. #jab by:corvale   
- R1 1:20 Twice. #jab #stick by:corvale outcome:landed
  - R1 1:15 the #lead-straight lands
- R1 0:58 Off the line #slip(by:brandaal) #stick(by:corvale outcome:missed)
"""
OTHER = "---\r\nbout: c-d-2031\r\ntitle: C v D\r\n---\r\n- R1 0:10 Again #Jab.\r\n"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "bouts").mkdir()
    (tmp_path / "library.yaml").write_bytes(b"")
    (tmp_path / "vocabulary.yaml").write_bytes(VOCABULARY.encode())
    (tmp_path / "bouts" / "a.md").write_bytes(NOTE.encode())
    (tmp_path / "bouts" / "b.md").write_bytes(OTHER.encode())
    return tmp_path


def load(root: Path) -> LibraryText:
    reading = read_library(root)
    assert not [problem for problem in reading.problems if problem.file == "vocabulary.yaml"]
    files = {segment.file for segment in reading.segments}
    return LibraryText(
        vocabulary=reading.vocabulary,
        vocabulary_text=read_exact(root / "vocabulary.yaml"),
        segments=reading.segments,
        texts={file: read_exact(root / file) for file in files},
    )


def changes(library: LibraryText, plan: Plan) -> list[str]:
    texts = {**library.texts, library.vocabulary_file: library.vocabulary_text}
    return [line for line in shown(texts, plan.edits) if line[0] in "+-" and line[:3] not in ("+++", "---")]


def contents(root: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in root.rglob("*.*") if path.suffix in (".md", ".yaml")}


def tags(root: Path) -> list[str | None]:
    return [tag.concept for segment in read_library(root).segments for tag in segment.tags]


def test_a_merge_shows_each_line_changes_the_library_and_can_be_undone(root: Path) -> None:
    library, before = load(root), contents(root)
    plan = plan_merge(library, "jab", "stick")
    assert changes(library, plan) == [
        "-- R1 1:40 Corvale in behind it. #jab by:corvale   ",
        "-- R1 1:20 Twice. #jab #stick by:corvale outcome:landed",
        "-  - R1 1:15 the #lead-straight lands",
        "+- R1 1:40 Corvale in behind it. #stick by:corvale   ",
        "+- R1 1:20 Twice. #stick by:corvale outcome:landed",
        "+  - R1 1:15 the #stick lands",
        "-- R1 0:10 Again #Jab.",
        "+- R1 0:10 Again #stick.",
        "-  - id: jab",
        "-    label: jab",
        "-    also: [lead straight]   # never the hook",
        "-    broader: punch",
        '-    definition: "A straight punch with the lead hand."',
        "-",
        '-  - {id: stick, label: stick, broader: punch, related: [slip], definition: "A long jab."}',
        "+  - {id: stick, label: stick, also: [jab, lead straight], broader: punch, related: [slip],"
        ' definition: "A long jab."}',
    ]
    assert plan.notes == ("definition of jab falls away: A straight punch with the lead hand.",)
    undo_file = apply_plan(root, plan)
    assert contents(root)["b.md"] == OTHER.replace("#Jab", "#stick").encode()
    assert tags(root) == ["stick", "stick", "stick", "slip", "stick", "stick"]
    assert load(root).vocabulary.resolve("lead-straight") == "stick"
    take_back(root, undo_file)
    assert contents(root) == before


def test_a_renamed_id_is_rewritten_where_it_is_written(root: Path) -> None:
    library = load(root)
    plan = plan_rename(library, "jab", new_id="lead-jab")
    assert changes(library, plan) == [
        "-- R1 1:40 Corvale in behind it. #jab by:corvale   ",
        "-- R1 1:20 Twice. #jab #stick by:corvale outcome:landed",
        "+- R1 1:40 Corvale in behind it. #lead-jab by:corvale   ",
        "+- R1 1:20 Twice. #lead-jab #stick by:corvale outcome:landed",
        "-- R1 0:10 Again #Jab.",
        "+- R1 0:10 Again #lead-jab.",
        "-  - id: jab",
        "+  - id: lead-jab",
    ]
    apply_edits(root, plan.edits)
    assert load(root).vocabulary.by_id["lead-jab"].also == ("lead straight",)


def test_a_renamed_label_touches_no_note_while_the_old_one_is_kept(root: Path) -> None:
    library = load(root)
    kept = plan_rename(library, "stick", new_label="long jab")
    assert changes(library, kept) == [
        '-  - {id: stick, label: stick, broader: punch, related: [slip], definition: "A long jab."}',
        '+  - {id: stick, label: long jab, also: [stick], broader: punch, related: [slip], definition: "A long jab."}',
    ]
    dropped = plan_rename(library, "jab", new_id="pole", new_label="pole punch", keep=False)
    apply_edits(root, dropped.edits)
    assert tags(root) == ["pole", "pole", "stick", "pole", "slip", "stick", "pole"]


def test_a_retired_concept_leaves_its_tags_to_its_broader_or_to_another(root: Path) -> None:
    library = load(root)
    apply_edits(root, plan_retire(library, "jab").edits)
    assert tags(root) == ["punch", "punch", "stick", "punch", "slip", "stick", "punch"]
    assert "jab" not in load(root).vocabulary.by_id
    with pytest.raises(UsageError, match="1 tags name slip, which has no broader"):
        plan_retire(library, "slip")
    apply_edits(root, plan_retire(load(root), "slip", instead="punch").edits)
    assert (root / "vocabulary.yaml").read_text() == (
        "# House words\nconcepts:\n  - id: punch\n    label: punch\n\n"
        '  - {id: stick, label: stick, broader: punch, definition: "A long jab."}\n'
        "  # ---- defence\nterms:\n  - {say: ropes}\n"
    )
    with pytest.raises(UnknownName):
        plan_retire(library, "jib")


def test_a_split_gives_each_part_its_tags(root: Path) -> None:
    library = load(root)
    parts = [Concept(id="step-jab", label="step jab"), Concept(id="flick", label="flick", also=("lead straight",))]
    first = ("bouts/a.md", 8, NOTE.splitlines()[7].index("#") + 1)
    plan = plan_split(library, "jab", parts, {first: "step-jab", ("bouts/b.md", 5, 17): "flick"})
    assert plan.notes == ("1 tags go to a part with the label that they are written with",)
    apply_edits(root, plan.edits)
    assert tags(root) == ["step-jab", "jab", "stick", "flick", "slip", "stick", "flick"]
    assert [concept.id for concept in load(root).vocabulary.concepts] == [
        "punch", "jab", "step-jab", "flick", "stick", "slip",
    ]  # fmt: skip
    with pytest.raises(UsageError, match=r"bouts/a\.md:8:1: no tag of jab"):
        plan_split(library, "jab", parts, {("bouts/a.md", 8, 1): "flick"})
    with pytest.raises(UsageError, match="slip is none of the parts"):
        plan_split(library, "jab", parts, {first: "slip"})


def test_new_concepts_and_labels_change_the_vocabulary_alone(root: Path) -> None:
    library = load(root)
    hook = Concept(id="hook", label="hook", broader=("punch",), also=("bent arm",))
    assert changes(library, plan_concept(library, hook)) == [
        "+  - {id: hook, label: hook, also: [bent arm], broader: punch}"
    ]
    plan = plan_labels(library, "jab", also=["range finder"], misheard=["job"])
    assert changes(library, plan) == [
        "-    also: [lead straight]   # never the hook",
        "+    also: [lead straight, range finder]   # never the hook",
        "+    misheard: [job]",
    ]


def test_a_library_changed_since_it_was_read_is_left_as_it_is(root: Path) -> None:
    plan = plan_merge(load(root), "jab", "stick")
    note = root / "bouts" / "b.md"
    note.write_bytes(OTHER.replace("Again", "Once more").encode())
    before = contents(root)
    with pytest.raises(UnreadableFile, match=r"bouts/b\.md:5:1: found .*Once more"):
        apply_edits(root, plan.edits)
    assert contents(root) == before
