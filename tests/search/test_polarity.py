"""The golden cases of tests/cases/polarity.md, and what denials do to the order of the hits."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.language.labels import label_finder
from fightnotes.language.names import NameIndex
from fightnotes.language.negation import undone_spans
from fightnotes.model import Fields, Segment
from fightnotes.search.polarity import LOST_ASSERTING, LOST_DENIED, polarity_of
from fightnotes.search.query import Query, read_query

CASES = Path(__file__).parents[1] / "cases" / "polarity.md"


def _cases() -> list[tuple[str, str, str, str]]:
    """Title, note, query and what follows."""
    opening, *parts = CASES.read_text(encoding="utf-8").split("\n.\n")
    assert parts.pop() == "", "the last case ends with a dot"
    assert len(parts) % 4 == 3, "a case is a title, a note, a query and what follows, a dot behind each"
    titles = [opening.strip().split("\n")[-1], *(title.strip() for title in parts[3::4])]
    return list(zip(titles, parts[0::4], parts[1::4], parts[2::4], strict=True))


def read(text: str) -> Query:
    return read_query(text, NameIndex({}, 0), label_finder(()))


def a_segment(note: str) -> Segment:
    text, _, outcome = note.partition(" outcome:")
    fields = Fields(outcome=(outcome,) if outcome else ())
    return Segment(bout="b", file="b.md", line=1, last_line=1, kind="note", text=text, fields=fields)


@pytest.mark.parametrize(("title", "note", "query", "follows"), _cases(), ids=lambda value: value[:40])
def test_golden_cases(title: str, note: str, query: str, follows: str) -> None:
    polarity = polarity_of(read(query), a_segment(note))
    lost = round(100 * (1 - polarity.factor))
    lines = [f"loses {lost} %" if lost else "loses nothing"]
    lines += [f"against: {words}" for words in polarity.undone] + [f"denies: {words}" for words in polarity.denies]
    assert "\n".join(lines) == follows, title


PIECES = [
    "not",
    "never",
    "without",
    "jab",
    "jabs",
    "bite",
    "expects",
    "to",
    ",",
    ".",
    "but",
    "only",
    "doesn't",
    "é",
    "風",
]
WORDS = st.lists(st.sampled_from(PIECES), max_size=12).map(" ".join)


@given(WORDS, WORDS)
def test_what_is_lost_is_bounded_and_what_is_said_stands_in_the_text(note: str, query: str) -> None:
    polarity = polarity_of(read(query), a_segment(note))
    assert 1 - max(LOST_DENIED, LOST_ASSERTING) <= polarity.factor <= 1
    assert all(words in note for words in (*polarity.undone, *polarity.denies))
    assert bool(polarity.undone) == (polarity.factor < 1 and not read(query).denies)


@given(st.text())
def test_spans_lie_in_the_text_in_order(text: str) -> None:
    spans = undone_spans(text)
    assert all(0 <= span.begin < span.stop <= len(text) for span in spans)
    assert [span.begin for span in spans] == sorted(span.begin for span in spans)
