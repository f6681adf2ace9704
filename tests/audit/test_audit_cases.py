"""The golden cases of tests/cases/audit.md: rules that need the text alone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from fightnotes.audit.run import audit
from fightnotes.model import OUTCOMES
from fightnotes.reading.library import read_library

CASES = Path(__file__).parents[1] / "cases" / "audit.md"
CASE = re.compile(r"^(?P<title>[^\n.#`][^\n]*)\n\.\n(?P<note>(?:.*\n)*?)\.\n(?P<said>(?:.*\n)*?)\.$", re.MULTILINE)
VOCABULARY = """\
concepts:
  - {id: footwork, label: footwork}
  - {id: outside-step, label: outside step, also: [lead foot outside], broader: footwork, pairing: open}
  - {id: inside-step, label: inside step, broader: footwork, pairing: open}
  - {id: pivot, label: pivot, broader: footwork}
  - {id: shuffle-step, label: shuffle step, broader: footwork}
  - {id: jab, label: jab, definition: A straight punch with the lead hand.}
  - {id: double-jab, label: double jab, broader: jab}
  - {id: cross, label: cross, definition: A straight punch with the rear hand.}
  - {id: lead-hook, label: lead hook, definition: A bent-arm punch with the lead hand.}
"""
FRONT_MATTER = """\
---
bout: corvale-brandaal-2031
title: Corvale v Brandaal
rounds: {count: 3, length: "2:00", rest: "1:00", clock: down}
red: {name: Ines Corvale, stance: southpaw}
blue: {name: Rika Brandaal, stance: orthodox}
media: {file: media/none.mp4, rate: 25, bells: {1: "0:04:00", 2: "0:07:00", 3: "0:10:00"}}
analyst: mk
---
"""
ABOVE = FRONT_MATTER.count("\n")
FOUND = list(CASE.finditer(CASES.read_text(encoding="utf-8")))


def test_all_cases_are_read() -> None:
    assert len(FOUND) == CASES.read_text(encoding="utf-8").count("\n.\n") // 3


@pytest.mark.parametrize("case", FOUND, ids=lambda case: case["title"])
def test_case(case: re.Match[str], tmp_path: Path) -> None:
    (tmp_path / "bouts").mkdir()
    (tmp_path / "library.yaml").write_text("title: cases\n")
    (tmp_path / "vocabulary.yaml").write_text(VOCABULARY)
    (tmp_path / "bouts" / "bout.md").write_text(FRONT_MATTER + case["note"])
    report = audit(read_library(tmp_path), None)
    said = sorted(
        (finding.place.line - ABOVE, finding.rule, _within_case(finding.message)) for finding in report.findings
    )
    wanted = sorted(
        (int(match[2]), match[1], match[3])
        for match in re.finditer(r"^([\w-]+) (\d+): (.*)$", case["said"], re.MULTILINE)
    )
    assert said == wanted
    assert wanted or case["said"] == "none\n"


def _within_case(message: str) -> str:
    message = message.replace(", ".join(OUTCOMES), "OUTCOMES")
    return re.sub(r"(?<=line )\d+", lambda match: str(int(match[0]) - ABOVE), message)
