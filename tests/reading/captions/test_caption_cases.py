"""The golden cases of tests/cases/captions.md."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from fightnotes.reading.captions import READERS, CaptionFile, read_captions

CASES = Path(__file__).parents[2] / "cases" / "captions.md"
FORMATS = "|".join(ending.removeprefix(".") for ending in READERS)
CASE = re.compile(
    rf"^(?P<format>{FORMATS}): (?P<title>.+)\n\.\n(?P<file>(?:.*\n)*?)\.\n(?P<read>(?:.*\n)*?)\.$", re.MULTILINE
)


def in_words(seconds: Fraction | None) -> str:
    if seconds is None:
        return "-"
    return f"{(Decimal(seconds.numerator) / Decimal(seconds.denominator)):f}"


def shown(read: CaptionFile) -> str:
    cues = [
        f"{cue.line} | {in_words(cue.start)} to {in_words(cue.end)} | {cue.speaker or '-'} | {cue.text or '-'}"
        for cue in read.cues
    ]
    untimed = [f"untimed {line} | {text}" for line, text in read.untimed]
    faults = [f"fault {fault.line}:{fault.column} | {fault.found} | {fault.expected}" for fault in read.faults]
    return "".join(f"{line}\n" for line in cues + untimed + faults)


FOUND = list(CASE.finditer(CASES.read_text(encoding="utf-8")))


@pytest.mark.parametrize("case", FOUND, ids=lambda case: f"{case['format']}: {case['title']}")
def test_case(case: re.Match[str]) -> None:
    assert shown(read_captions(f"breakdown.{case['format']}", case["file"])) == case["read"]


@pytest.mark.parametrize(
    ("file", "text", "kind"),
    [
        ("a.vtt", "WEBVTT\n\n00:05.000 --> 00:04.000\nso\n", "impossible-time"),
        ("a.vtt", "WEBVTT\n\n00:05.000 --> 00:06,000\nso\n", "unreadable"),
        ("a.txt", "[0:05-0:04] so\n", "impossible-time"),
        ("a.txt", "[0:05-0:6] so\n", "unreadable"),
    ],
)
def test_only_an_end_before_its_start_is_an_impossible_time(file: str, text: str, kind: str) -> None:
    assert [fault.kind for fault in read_captions(file, text).faults] == [kind]


def test_no_case_is_passed_over() -> None:
    titles = re.findall(r"^(?:vtt|srt|txt): .+$", CASES.read_text(encoding="utf-8"), re.MULTILINE)
    assert [f"{case['format']}: {case['title']}" for case in FOUND] == titles
