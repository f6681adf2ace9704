"""The golden cases of tests/cases/acts.md: the acts of a moment of speech, one by one."""

from __future__ import annotations

import time
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.language.acts_told import acts_told, last_spoken_of
from fightnotes.language.fields_said import fields_said
from fightnotes.model import Fields
from tests.language.test_field_cases import LABELS, PIECES, TRANSCRIPTS

CASES = Path(__file__).parents[1] / "cases" / "acts.md"


def _cases() -> list[tuple[str, str, str]]:
    """Title, text and the acts."""
    opening, *parts = CASES.read_text(encoding="utf-8").split("\n.\n")
    assert parts.pop() == "", "the last case ends with a dot"
    assert len(parts) % 3 == 2, "a case is a title, a text and its acts, a dot behind each"
    titles = [opening.strip().split("\n")[-1], *(title.strip() for title in parts[2::3])]
    return list(zip(titles, parts[0::3], parts[1::3], strict=True))


def told(text: str) -> str:
    """A line for each act."""
    topic, _, said = text.rpartition("@")
    acts = acts_told(said, TRANSCRIPTS, LABELS, topic=topic or None)
    return "\n".join(" ".join(f"{one.key}:{one.value}" for one in act.fields) for act in acts) or "nothing"


@pytest.mark.parametrize(("title", "text", "expected"), _cases(), ids=lambda value: value[:40])
def test_golden_cases(title: str, text: str, expected: str) -> None:
    assert told(text) == expected, title


def test_written_fields_win() -> None:
    text = "Beltrouk jabs, misses. Osmeray lands the hook."
    acts = acts_told(text, TRANSCRIPTS, LABELS, Fields(by=("osmeray",)))
    assert [[(one.key, one.value) for one in act.fields] for act in acts] == [
        [("on", "beltrouk"), ("outcome", "landed")]
    ]


def test_one_act_is_what_the_fields_of_a_note_would_be() -> None:
    text = "Osmeray lands the hook, and she is hurt."
    (act,) = acts_told(text, TRANSCRIPTS, LABELS)
    noted = fields_said(text, TRANSCRIPTS, LABELS)
    assert [replace(one, probability=0.0) for one in act.fields] == [replace(one, probability=0.0) for one in noted]


def test_a_pronoun_for_one_named_before_the_text_is_less_sure() -> None:
    text = "she lands the hook."
    assert acts_told(text, TRANSCRIPTS, LABELS)[0].value("by") is None
    before = acts_told(text, TRANSCRIPTS, LABELS, topic="osmeray")[0].fields[0]
    within = acts_told(f"Osmeray waits. {text}", TRANSCRIPTS, LABELS)[-1].fields[0]
    assert (before.value, within.value) == ("osmeray", "osmeray")
    assert before.probability < within.probability


def test_who_was_spoken_of_last() -> None:
    assert last_spoken_of("Beltrouk jabs and Osmeray slips it.", TRANSCRIPTS) == "osmeray"
    assert last_spoken_of("and again.", TRANSCRIPTS, "beltrouk") == "beltrouk"
    assert last_spoken_of("and again.", TRANSCRIPTS) is None


@given(st.lists(st.sampled_from(PIECES.split()), max_size=14).map(" ".join) | st.text())
def test_any_text_has_acts_in_order(text: str) -> None:
    acts = acts_told(text, TRANSCRIPTS, LABELS, topic="osmeray")
    assert all(one.stop <= other.begin for one, other in pairwise(acts))
    for act in acts:
        assert act.fields
        assert len({one.key for one in act.fields}) == len(act.fields)
        assert act.value("by") is None or act.value("by") != act.value("on")
        assert all(0 < one.probability < 1 for one in act.fields)


@pytest.mark.parametrize("unit", ["hurt ", "Osmeray ", "his left ", "she ", "Osmeray hurts Beltrouk down ", "Ab-"])
def test_time_grows_with_the_text(unit: str) -> None:
    def seconds(size: int) -> float:
        text = unit * (size // len(unit))
        begin = time.process_time()
        acts_told(text, TRANSCRIPTS, LABELS)
        return time.process_time() - begin

    seconds(1000)
    assert seconds(32000) < 12 * seconds(8000) + 0.2
