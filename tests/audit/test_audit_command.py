"""`fightnotes audit`, as a shell calls it."""

from __future__ import annotations

import json
import re
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pytest
from typer.testing import Result

from fightnotes.audit.rules import RULES
from fightnotes.audit.run import audit
from fightnotes.library import open_library
from fightnotes.pages.plots import Interval, bars, intervals
from tests.audit.test_audit_cases import FRONT_MATTER, VOCABULARY
from tests.conftest import RunCommand

NOTE = "bouts/bout.md"
NOTES = """\
- R1 1:50 Foot outside. #outsid-step by:corvale
- R1 1:40 Foot outside. #footwork #outside-step by:corvale
- R1 1:30 Lead foot past hers. #lead-foot-outside by:corvale
- R1 1:20 A jab. #jab by:corvale outcome:clean
"""


@pytest.fixture
def library(tmp_path: Path) -> Path:
    root = tmp_path / "library"
    (root / "bouts").mkdir(parents=True)
    (root / "library.yaml").write_text("title: Feet & fists\n")
    (root / "vocabulary.yaml").write_text(VOCABULARY)
    (root / NOTE).write_bytes((FRONT_MATTER + NOTES).replace("\n", "\r\n").encode())
    return root


def found(result: Result) -> list[str]:
    return [f"{one['rule']} {one['about']}" for one in json.loads(result.stdout)["findings"]]


ALL = ["unknown-value 'outcome:clean'", "unknown-tag #outsid-step", "parent-and-child #footwork",
       "tag-form #lead-foot-outside"]  # fmt: skip


def test_findings_gravest_first_and_exit_status(library: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("audit", "--library", library, "--format", "json")
    assert found(result) == ALL
    assert result.exit_code == 1
    assert "fightnotes build" in result.stderr, "the rules that need an index say that they were skipped"


def test_table_and_csv_name_place_and_fix(library: Path, fightnotes: RunCommand) -> None:
    table = fightnotes("audit", "--library", library)
    assert f"{NOTE}:10:25" in table.stdout
    assert "--fix: write #outside-step" in table.stdout
    assert "1 errors, 2 warnings, 1 advice" in table.stdout
    csv = fightnotes("audit", "--library", library, "--format", "csv").stdout.splitlines()
    assert csv[0] == "severity,rule,file,line,column,message,text,fix"
    assert csv[1].startswith(f"error,unknown-value,{NOTE},13,")


def test_too_little_data_is_said_once_a_rule_in_every_form(
    library: Path, tmp_path: Path, fightnotes: RunCommand
) -> None:
    rare = "there are 4 tags for 9 concepts, fewer than 5 for each"
    table = fightnotes("audit", "--library", library, "--html", tmp_path / "report.html").stdout
    assert f"not judged, rare-concept: {rare}" in table
    assert "not judged, broad-concept: 4 notes are tagged, fewer than 50" in table
    document = json.loads(fightnotes("audit", "--library", library, "--format", "json").stdout)
    rules = [one["rule"] for one in document["skipped"]]
    assert {"rule": "rare-concept", "reason": rare} in document["skipped"]
    assert len(rules) == len(set(rules))
    assert f"rare-concept: {rare}" in (tmp_path / "report.html").read_text(encoding="utf-8")


def test_one_rule_alone(library: Path, fightnotes: RunCommand) -> None:
    result = fightnotes("audit", "--library", library, "--only", "tag-form", "--format", "json")
    assert found(result) == ["tag-form #lead-foot-outside"]
    assert result.exit_code == 0, "advice alone does not fail"
    assert fightnotes("audit", "--library", library, "--only", "nonsense").exit_code == 2


def test_rules_are_listed(fightnotes: RunCommand) -> None:
    listed = json.loads(fightnotes("audit", "--rules", "--format", "json").stdout)
    assert [one["rule"] for one in listed] == [rule.name for rule in RULES]
    assert all(one["what it finds"] for one in listed)


def test_fix_shown_first_and_made_after(library: Path, fightnotes: RunCommand) -> None:
    before = (library / NOTE).read_bytes()
    shown = fightnotes("audit", "--library", library, "--fix", "--dry-run")
    assert "+- R1 1:50 Foot outside. #outside-step by:corvale" in shown.stderr
    assert (library / NOTE).read_bytes() == before
    made = fightnotes("audit", "--library", library, "--fix", "--format", "json")
    assert found(made) == ["unknown-value 'outcome:clean'"]
    after = before.replace(b"#outsid-step", b"#outside-step").replace(b"#lead-foot-outside", b"#outside-step")
    assert (library / NOTE).read_bytes() == after.replace(b" #footwork #outside-step", b" #outside-step")
    assert "fix tags: 3 lines in 1 file changed; `fightnotes vocabulary undo` takes it back" in made.stderr
    assert fightnotes("vocabulary", "undo", "--library", library).exit_code == 0
    assert (library / NOTE).read_bytes() == before


def test_fixes_that_meet_in_one_note_are_made_one_after_the_other(library: Path, fightnotes: RunCommand) -> None:
    (library / NOTE).write_text(FRONT_MATTER + "- R1 1:50 Foot. #footwork #lead-foot-outside by:corvale\n")
    fightnotes("audit", "--library", library, "--fix")
    assert (library / NOTE).read_text().endswith("- R1 1:50 Foot. #footwork #outside-step by:corvale\n")
    fightnotes("audit", "--library", library, "--fix")
    assert (library / NOTE).read_text().endswith("- R1 1:50 Foot. #outside-step by:corvale\n")


def test_baseline_hides_what_was_there_and_shows_what_is_new(library: Path, fightnotes: RunCommand) -> None:
    assert fightnotes("audit", "--library", library, "--set-baseline").exit_code == 0
    clean = fightnotes("audit", "--library", library, "--format", "json")
    assert (found(clean), json.loads(clean.stdout)["known"], clean.exit_code) == ([], 4, 0)
    moved = (
        FRONT_MATTER + "Words above, so that every line moves.\n\n" + NOTES + "- R1 1:10 A spin. #whirl by:corvale\n"
    )
    (library / NOTE).write_text(moved)
    later = fightnotes("audit", "--library", library, "--format", "json")
    assert (found(later), later.exit_code) == (["unknown-tag #whirl"], 1)
    everything = fightnotes("audit", "--library", library, "--no-baseline", "--format", "json")
    assert len(found(everything)) == 5


def test_a_second_finding_like_a_known_one_is_new(library: Path, fightnotes: RunCommand) -> None:
    fightnotes("audit", "--library", library, "--set-baseline")
    (library / NOTE).write_text(FRONT_MATTER + NOTES + NOTES.splitlines()[0] + "\n")
    again = fightnotes("audit", "--library", library, "--only", "unknown-tag", "--format", "json")
    assert found(again) == ["unknown-tag #outsid-step"]


def test_the_same_words_under_another_heading_are_no_known_finding(library: Path, fightnotes: RunCommand) -> None:
    note = "- 1:10 left. A spin. #whirl by:corvale\n"
    (library / NOTE).write_text(f"{FRONT_MATTER}## Round 1\n{note}\n## Round 2\n")
    fightnotes("audit", "--library", library, "--set-baseline")
    (library / NOTE).write_text(f"{FRONT_MATTER}## Round 1\n\n## Round 2\n{note}")
    result = fightnotes("audit", "--library", library, "--format", "json")
    assert found(result) == ["unknown-tag #whirl"], "the known one went, and the one that came is another"
    (library / NOTE).write_text(f"{FRONT_MATTER}Moved.\n\n## Round 1\n{note}")
    assert found(fightnotes("audit", "--library", library, "--format", "json")) == []


def test_a_torn_baseline_is_named(library: Path, fightnotes: RunCommand) -> None:
    (library / "audit-baseline.json").write_text('{"known": [{"rule"')
    result = fightnotes("audit", "--library", library)
    assert result.exit_code == 1
    assert "audit-baseline.json" in result.stderr


def test_settings_switch_rules_off_and_change_their_weight(library: Path, fightnotes: RunCommand) -> None:
    (library / "library.yaml").write_text(
        "audit:\n  off: {tag-form: we write labels}\n  severity: {unknown-tag: advice, parent-and-child: advice}\n"
        "  baseline: notes/known.json\n"
    )
    result = fightnotes("audit", "--library", library, "--format", "json")
    document = json.loads(result.stdout)
    weights = {one["rule"]: one["severity"] for one in document["findings"]}
    assert weights == {"unknown-value": "error", "unknown-tag": "advice", "parent-and-child": "advice"}
    assert {"rule": "tag-form", "reason": "library.yaml: we write labels"} in document["skipped"]
    fightnotes("audit", "--library", library, "--set-baseline")
    assert (library / "notes/known.json").is_file()


@pytest.mark.parametrize(
    ("settings", "complaint"),
    [
        ("off: {tag-form: }", "audit: off: tag-form without a reason"),
        ("off: {nonsense: because}", "audit: off: nonsense"),
        ("severity: {tag-form: grave}", "audit: severity: tag-form: grave"),
        ("rules: {}", "audit: rules"),
    ],
)
def test_requests_that_cannot_be_followed(library: Path, fightnotes: RunCommand, settings: str, complaint: str) -> None:
    (library / "library.yaml").write_text(f"audit:\n  {settings}\n")
    result = fightnotes("audit", "--library", library, "--only", "tag-form", "--format", "json")
    assert found(result)[0] == f"audit-request {complaint}"
    assert result.exit_code == 1


def test_dry_run_alone_is_wrong_usage(library: Path, fightnotes: RunCommand) -> None:
    assert fightnotes("audit", "--library", library, "--dry-run").exit_code == 2
    assert fightnotes("audit", "--library", library, "--set-baseline", "--fix").exit_code == 2


def test_html_holds_every_finding_and_nothing_from_elsewhere(
    library: Path, tmp_path: Path, fightnotes: RunCommand
) -> None:
    second = NOTES.replace("R1 1:50", "R1 1:49")
    (library / "bouts/second.md").write_text(second)
    (library / NOTE).write_text(
        FRONT_MATTER.replace("analyst: mk", "analyst: mk\nsources: [{file: second.md, kind: notes, analyst: dv}]")
        + NOTES
    )
    page = tmp_path / "report.html"
    fightnotes("audit", "--library", library, "--html", page)
    text = page.read_text(encoding="utf-8")
    root = ElementTree.fromstring(text.removeprefix("<!DOCTYPE html>").replace('<meta charset="utf-8">', "").replace(
        '<meta name="viewport" content="width=device-width, initial-scale=1">', ""))  # fmt: skip
    said = " ".join(root.itertext())
    assert "Audit of Feet & fists" in said
    assert "names no concept of the vocabulary; one letter makes it #outside-step" in said
    assert f"{NOTE}:" in said
    plots = list(root.iter("svg"))
    assert plots
    assert all(plot.find("title") is not None and plot.find("desc") is not None for plot in plots)
    assert not [one for one in root.iter() if one.tag in ("script", "link", "img", "iframe")]
    assert "http" not in text
    assert "Agreement between analysts" in said


def test_html_shows_marks_of_direction_and_follows_none(library: Path, tmp_path: Path, fightnotes: RunCommand) -> None:
    note = "- R1 1:50 A \u202eturn\u202c and a \u2067spin\u2069. #whirl\n"
    (library / NOTE).write_text(FRONT_MATTER + note, encoding="utf-8")
    fightnotes("audit", "--library", library, "--html", tmp_path / "report.html")
    text = (tmp_path / "report.html").read_text(encoding="utf-8")
    assert r"A \u202eturn\u202c and a \u2067spin\u2069." in text
    assert not set(text) & set("\u202e\u202c\u2067\u2069")


def test_plots_fit_a_telephone_and_have_axes(library: Path, tmp_path: Path, fightnotes: RunCommand) -> None:
    page = tmp_path / "report.html"
    fightnotes("audit", "--library", library, "--html", page)
    svg = re.findall(r'<svg [^>]*width="([\d.]+)".*?</svg>', page.read_text(encoding="utf-8"))
    assert svg
    assert max(map(float, svg)) <= 358, "390 px less the margins"
    plot = intervals([Interval("jab", 0.9, 0.8, 1.0, "5 of 6"), Interval("hook", 0.2, None, None, "2")], "kappa")
    dots = [float(x) for x in re.findall(r'<circle cx="([\d.]+)"', plot)]
    assert dots == sorted(dots, reverse=True)
    assert max(dots) < 340
    assert len(re.findall("stroke-width", plot)) == 1, "no line where there is no interval"
    chart = bars([0, 3], ["2030 a", "2031 b"], "jab", 3, ("2030", "2031"))
    assert re.findall(r">([^<>]+)</text>", chart) == ["3", "0", "2030", "2031"]


def test_agreement_in_terminal_json_and_html(demo: Path, tmp_path: Path, fightnotes: RunCommand) -> None:
    page = tmp_path / "report.html"
    given = ("audit", "--library", demo, "--only", "unknown-tag")
    told = fightnotes(*given, "--agreement", "--html", page).stdout
    assert "all together (dv, mk): 51 moments in 2 bouts" in told
    assert "dv and mk: 51 moments" in told
    document = json.loads(fightnotes(*given, "--agreement", "--format", "json").stdout)["agreement"]
    (comparison,) = document["comparisons"]
    assert comparison["pairs"] == document["overall"]["moments"] == 51
    assert document["overall"]["alpha_nominal"]["reason"] == "no interval from 2 bouts: 8 are needed"
    alone = len(comparison["first_alone"]), len(comparison["second_alone"])
    assert f"without a match in rounds that both noted: {alone[0]} by dv, {alone[1]} by mk" in told
    said = page.read_text(encoding="utf-8")
    assert "51 moments that at least two noted" in said
    assert f"{alone[1]} moments that only mk noted" in said
    assert "agreement" not in json.loads(fightnotes(*given, "--format", "json").stdout)


def test_times_past_the_end_of_the_footage(library: Path) -> None:
    reading = open_library(library).read()
    bout = reading.bouts[0].id
    at_hand = audit(reading, None, only=["outside-footage"], lengths={(bout, "footage"): Fraction(261)})
    assert [(one.place.line - FRONT_MATTER.count("\n"), one.rule) for one in at_hand.findings] == [
        (3, "outside-footage"),
        (4, "outside-footage"),
    ]
    missing = audit(reading, None, only=["outside-footage"])
    assert [one.reason for one in missing.skipped] == ["no recording is at hand to be measured"]
