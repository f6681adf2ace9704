"""The golden cases of tests/cases/talks.md: the moments of speech that captions are read as."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest

from fightnotes.clock import RoundFormat, format_media_time
from fightnotes.model import Bout, Concept, Fighter, Recording, Segment, Source, Term, Vocabulary
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.timing import close_ends
from fightnotes.reading.transcript import speech_segments

CASES = Path(__file__).parents[1] / "cases" / "talks.md"
CASE = re.compile(
    r"^(?P<format>vtt|srt|txt): (?P<title>.+)\n\.\n(?P<file>(?:.*\n)*?)\.\n(?P<read>(?:.*\n)*?)\.$", re.MULTILINE
)
FOUND = list(CASE.finditer(CASES.read_text(encoding="utf-8")))
BOUT = Bout(
    id="corvale-brandaal-2031",
    file="bouts/corvale-brandaal-2031.md",
    title="Corvale v Brandaal",
    rounds=RoundFormat(10, Fraction(180), Fraction(60), "down"),
    red=Fighter(id="corvale", name="Ines Corvale", misheard=("core vale",), stance="southpaw"),
    blue=Fighter(id="brandaal", name="Rika Brandaal", misheard=("brand all",), stance="orthodox"),
    recordings={"talk": Recording(file="talk.mp4")},
)
VOCABULARY = Vocabulary(
    concepts=(Concept(id="open-guard-bait", label="open guard bait"), Concept(id="jab", label="jab")),
    terms=(Term(say="southpaw", misheard=("south poor",)),),
)
LONGEST = Fraction(12)


def read(name: str, text: str, bout: Bout = BOUT, timed_on: str = "talk") -> list[Segment]:
    segments = speech_segments(text, Source(file=name, timed_on=timed_on), bout, VOCABULARY, LONGEST, Reporter(name))
    return close_ends(bout, segments, LONGEST)


def shown(segment: Segment) -> str:
    place = f"R{segment.round}" if segment.round else "-"
    place += f" {format_media_time(segment.clock_start)}" if segment.clock_start is not None else ""
    about = "about " if segment.about else ""
    times = f"{float(segment.start or 0):.4g} to {float(segment.end or 0):.4g}"
    repairs = [f"heard {one.heard} -> {segment.text[one.begin : one.stop]}" for one in segment.repairs]
    return "\n".join([f"{segment.line}-{segment.last_line} | {times} | {about}{place} | {segment.text}", *repairs, ""])


@pytest.mark.parametrize("case", FOUND, ids=lambda case: f"{case['format']}: {case['title']}")
def test_case(case: re.Match[str]) -> None:
    assert "".join(map(shown, read(f"talk.{case['format']}", case["file"]))) == case["read"]


def test_no_case_is_passed_over() -> None:
    titles = re.findall(r"^(?:vtt|srt|txt): .+$", CASES.read_text(encoding="utf-8"), re.MULTILINE)
    assert [f"{case['format']}: {case['title']}" for case in FOUND] == titles
