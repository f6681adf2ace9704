"""The golden cases of tests/cases/questions.md: what a question asks."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.briefing.question import QuestionAsked, read_question
from fightnotes.language.names import name_index
from fightnotes.reading.library import read_configuration
from fightnotes.search.query import query_labels
from tests.conftest import DEMO

CASES = Path(__file__).parents[1] / "cases" / "questions.md"
_DEMO = read_configuration(DEMO)
NAMES = name_index(_DEMO.settings.fighters, misheard=True)
LABELS = query_labels(_DEMO.vocabulary)


def _cases() -> list[tuple[str, str, str]]:
    """Title, question and what is read."""
    opening, *parts = CASES.read_text(encoding="utf-8").split("\n.\n")
    assert len(parts) % 3 == 0, "a case is a title, a question and what is read, a dot behind each"
    assert parts.pop().strip() == ""
    titles = [opening.strip().split("\n")[-1], *(title.strip() for title in parts[2::3])]
    return list(zip(titles, parts[0::3], parts[1::3], strict=True))


QUESTIONS = tuple(text for _, text, _ in _cases())


def told(question: QuestionAsked) -> str:
    asked = question.asked
    of = "" if asked.of == "how often" else f", {asked.of}"
    lines = [f"claim: {asked.claim}{of}"]
    lines += [f"concept: {concept}" for concept in question.concepts]
    lines += [f"by: {' '.join(question.by)}"] if question.by else []
    lines += [f"against: {' '.join(question.against)}"] if question.against else []
    lines += [f"pronoun: {question.pronoun}"] if question.pronoun else []
    lines += [f"rounds: {asked.rounds[0]}-{asked.rounds[1]}"] if asked.rounds else []
    lines += ["over: day"] if asked.over_days else []
    return "\n".join(lines)


def read(text: str) -> QuestionAsked:
    return read_question(text, NAMES, LABELS, {})


@pytest.mark.parametrize(("title", "text", "expected"), _cases(), ids=lambda value: value.split("\n")[0])
def test_what_is_read(title: str, text: str, expected: str) -> None:
    assert told(read(text)) == expected


@given(st.text(max_size=200))
def test_any_text_is_a_question(text: str) -> None:
    assert read(text).text == text
