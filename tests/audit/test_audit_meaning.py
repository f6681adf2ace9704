"""Rules that compare meanings, on libraries whose answer is plain, with the default model."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from fightnotes.audit import data
from fightnotes.audit.report import AuditReport
from fightnotes.audit.run import audit
from fightnotes.index.build import build
from fightnotes.index.local_store import LocalStore
from fightnotes.reading.library import read_library
from tests.conftest import MakeLibrary

VOCABULARY = """\
concepts:
  - {id: pivot, label: pivot, definition: A turn around the planted lead foot that takes the fighter off the line.}
  - {id: jab, label: jab, definition: A straight punch thrown with the front hand.}
  - {id: clinch, label: clinch, definition: The two fighters have hold of each other.}
  - {id: uppercut, label: uppercut, definition: A punch that comes up between the gloves.}
  - {id: calf-kick, label: calf kick, definition: A kick with the shin to the calf.}
  - {id: shell, label: shell}
"""
TURNS = ("She turns around the planted front foot near the ropes", "A turn on the front foot, away from the ropes",
         "Turning on the front foot she leaves the ropes behind", "Round the front foot she turns, off the ropes",
         "The front foot stays planted and she turns away", "She turns off the ropes on her front foot",
         "Another turn on the planted front foot", "On the front foot she turns and the ropes are empty")  # fmt: skip
HOLDS = ("They fall together and hold until the referee parts them", "The referee parts them from a long hold",
         "Holding, leaning, and the referee says break", "They hold each other and the referee says break",
         "A hold in the corner that the referee ends", "The referee breaks another hold of theirs",
         "They lean and hold, referee slow to part them", "Both hold on until the referee steps in")  # fmt: skip


def note_file(bout: str, date: str, lines: list[str], analyst: str = "mk") -> str:
    head = (
        f"---\nbout: {bout}\ndate: {date}\nrounds: {{count: 12, length: '3:00', rest: '1:00', clock: up}}\n"
        f"red: {{name: Ines Corvale}}\nblue: {{name: Rika Brandaal}}\nanalyst: {analyst}\n---\n"
    )
    return head + "".join(
        f"- R{index // 17 + 1} 0:{index % 17 * 10 % 60:02d} {line}\n" for index, line in enumerate(lines)
    )


FILLERS = (
    ("A low kick lands on the calf", "calf-kick"),
    ("The shin is chopped from the outside", "calf-kick"),
    ("Two jabs in a row", "jab"),
    ("A long straight lead hand", "jab"),
    ("The uppercut comes up between the gloves", "uppercut"),
    ("A rising punch in the corner", "uppercut"),
    ("They lean on each other", "clinch"),
    ("Gloves high, elbows closed", "shell"),
)
Audited = Callable[..., AuditReport]


@pytest.fixture
def audited(demo: Path, tmp_path: Path) -> Audited:
    """Audits a library made of `files`; it starts from a built one, so that the encoder need not be made again."""

    def run(files: dict[str, str], *only: str) -> AuditReport:
        root = tmp_path / "library"
        shutil.copytree(demo, root)
        for folder in ("bouts", "second_look", "transcripts"):
            shutil.rmtree(root / folder)
        (root / "bouts").mkdir()
        for name, text in files.items():
            (root / name).write_text(text, encoding="utf-8")
        build(root)
        return audit(read_library(root), LocalStore(root), only=only)

    return run


NAMED = (
    "Corvale lands the calf kick. by:corvale",
    "Brandaal won't throw the calf kick any more. by:brandaal",
    "Corvale kicks the calf with the shin. #calf-kick by:corvale",
    "Brandaal's uppercut comes up between the gloves. by:brandaal",
)


def test_a_technique_named_and_not_tagged(audited: Audited) -> None:
    report = audited(
        {"vocabulary.yaml": VOCABULARY, "bouts/one.md": note_file("one", "2030-01-01", list(NAMED))}, "missing-tag"
    )
    assert [(one.place.line, one.about) for one in report.findings] == [(9, "calf-kick"), (12, "uppercut")]
    assert report.findings[0].message.startswith("says “calf kick” and lacks #calf-kick (probability 1.00)")
    assert [one.reason for one in report.skipped] == [
        "1 notes are tagged: below 100 it judges by labels and definitions mostly"
    ]


def test_a_tag_that_was_refused_is_not_missed(audited: Audited) -> None:
    refused = "- {file: bouts/one.md, time: 'R1 0:00', text: 'Corvale lands the calf kick.', concept: calf-kick}\n"
    files = {"vocabulary.yaml": VOCABULARY, "bouts/one.md": note_file("one", "2030-01-01", list(NAMED))}
    report = audited(files | {"rejected-tags.yaml": refused}, "missing-tag")
    assert [one.about for one in report.findings] == ["uppercut"]


def test_the_same_words_under_other_tags(audited: Audited) -> None:
    report = audited(
        {
            "vocabulary.yaml": VOCABULARY,
            "bouts/one.md": note_file("one", "2030-01-01", [f"{TURNS[0]}. #pivot", f"{HOLDS[0]}. #clinch"]),
            "bouts/two.md": note_file("two", "2030-02-01", [f"{TURNS[0]}. #jab", f"{HOLDS[0]}. #clinch"]),
        },
        "tagged-differently",
    )
    (finding,) = report.findings
    assert [(place.file, place.line) for place in finding.places] == [("bouts/two.md", 9), ("bouts/one.md", 9)]
    assert "#jab here, #pivot there" in finding.message


AGAIN = (
    "- R1 0:10 She turns around the planted front foot near the ropes. #pivot by:corvale\n"
    "- R1 0:14 Another turn on the planted front foot, off the ropes. {} by:{}\n"
    "- R1 0:40 They fall together and hold until the referee parts them. #clinch\n"
    "- R1 0:43 Jab, blocked. #jab by:corvale\n"
    "- R1 0:46 Jab, blocked. #jab by:corvale\n"
)


@pytest.mark.parametrize(
    ("tag", "who", "lines"), [("#pivot", "corvale", [10]), ("", "corvale", [10]), ("#pivot", "brandaal", []),
                              ("#clinch", "corvale", [])]
)  # fmt: skip
def test_a_moment_written_again_seconds_later(audited: Audited, tag: str, who: str, lines: list[int]) -> None:
    """Not where another fighter does it, or under a tag of something else."""
    text = note_file("one", "2030-01-01", []) + AGAIN.format(tag, who)
    report = audited({"vocabulary.yaml": VOCABULARY, "bouts/one.md": text}, "written-again")
    assert [one.place.line for one in report.findings] == lines


def test_concepts_that_are_defined_alike(audited: Audited) -> None:
    meant = "A turn round the planted lead foot that takes a fighter off the line."
    again = f"  - {{id: turn-off, label: pivot off, definition: {meant}}}\n"
    report = audited({"vocabulary.yaml": VOCABULARY + again}, "concepts-alike")
    assert [finding.about for finding in report.findings] == ["pivot turn-off"]


def test_one_tag_for_two_things(audited: Audited) -> None:
    mixed = [f"{line}. #pivot" for both in zip(TURNS, HOLDS, strict=True) for line in both]
    other = [f"{line}. #clinch" for line in HOLDS]
    report = audited(
        {
            "vocabulary.yaml": VOCABULARY,
            "bouts/one.md": note_file("one", "2030-01-01", mixed),
            "bouts/two.md": note_file("two", "2030-02-01", other),
        },
        "two-uses",
    )
    (finding,) = report.findings
    assert finding.about == "pivot"
    lines = {place.line for place in finding.places[1:3]}, {place.line for place in finding.places[3:]}
    parity = [{(line - 9) % 2 for line in group} for group in lines]
    assert parity in ([{0}, {1}], [{1}, {0}]), "each group is shown by notes of its own"


def _bouts(early: tuple[str, ...], late: tuple[str, ...], analysts: tuple[str, str]) -> dict[str, str]:
    """Twelve bouts with two notes on #pivot each, and eight on other things that stay the same."""
    files = {"vocabulary.yaml": VOCABULARY}
    for index in range(12):
        words = early if index < 6 else late
        lines = [f"{words[index % 6]}. #pivot", f"{words[(index + 3) % 6]}. #pivot"]
        lines += [f"{line}. #{name}" for line, name in FILLERS]
        analyst = analysts[0] if index < 6 else analysts[1]
        files[f"bouts/b{index:02d}.md"] = note_file(f"b{index:02d}", f"2030-{index + 1:02d}-01", lines, analyst)
    return files


def test_a_use_that_drifts(audited: Audited) -> None:
    report = audited(_bouts(TURNS, HOLDS, ("mk", "mk")), "drift")
    (finding,) = report.findings
    assert finding.message.startswith("pivot means other things from 2030-07-01 on than before")


def test_a_steady_use_does_not_drift(audited: Audited) -> None:
    assert not audited(_bouts(TURNS, TURNS, ("mk", "mk")), "drift").findings


def test_analysts_who_mean_other_things(audited: Audited) -> None:
    report = audited(_bouts(TURNS, HOLDS, ("mk", "dv")), "analysts-differ")
    (finding,) = report.findings
    assert finding.message.startswith("pivot means other things with dv than with mk")


def test_analysts_who_mean_the_same(audited: Audited) -> None:
    assert not audited(_bouts(TURNS, TURNS, ("mk", "dv")), "analysts-differ").findings


def test_without_an_index_the_report_says_what_was_skipped(make_library: MakeLibrary) -> None:
    root = make_library(
        {"vocabulary.yaml": VOCABULARY, "bouts/one.md": note_file("one", "2030-01-01", ["A turn. #pivot"])}
    )
    report = audit(read_library(root), None)
    skipped = {one.rule: one.reason for one in report.skipped}
    assert {"tagged-differently", "concepts-alike", "two-uses", "drift", "analysts-differ"} <= skipped.keys()
    assert "fightnotes build" in skipped["drift"]


def _changed(make_library: MakeLibrary) -> Path:
    files = {"vocabulary.yaml": VOCABULARY, "bouts/one.md": note_file("one", "2030-01-01", ["A turn. #pivot"])}
    root = make_library(files)
    build(root)
    (root / "bouts/one.md").write_text(
        note_file("one", "2030-01-01", ["A turn. #pivot", "A hold. #clinch", "A hold. #jab"])
    )
    return root


def test_a_few_notes_newer_than_the_index_are_embedded(make_library: MakeLibrary) -> None:
    root = _changed(make_library)
    report = audit(read_library(root), LocalStore(root), only=["tagged-differently"])
    assert [one.about for one in report.findings] == ["#clinch"]
    assert report.skipped == ()


def test_many_notes_newer_than_the_index_are_counted(
    make_library: MakeLibrary, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(data, "MOST_NEW", 0)
    root = _changed(make_library)
    report = audit(read_library(root), LocalStore(root), only=["tagged-differently"])
    assert [one.reason for one in report.skipped] == [
        "2 notes are newer than the index and were left out: run `fightnotes build`"
    ]
