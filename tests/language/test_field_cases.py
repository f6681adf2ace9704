"""The golden cases of tests/cases/fields.md: who does what in a text, and the fields that a note of it would have."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.language.attribution import SaidAct, acts_said
from fightnotes.language.fields_said import fields_said
from fightnotes.language.labels import label_finder, labels_of
from fightnotes.language.people import people_of
from fightnotes.model import OUTCOMES, TARGETS, Bout, Concept, Fighter, Vocabulary

CASES = Path(__file__).parents[1] / "cases" / "fields.md"
BOUT = Bout(
    id="beltrouk-osmeray-2032",
    file="bouts/beltrouk-osmeray-2032.md",
    title="Beltrouk v Osmeray",
    red=Fighter(id="beltrouk", name="Hedda Beltrouk", misheard=("bell trook",), stance="southpaw", also=("Beltrouk",)),
    blue=Fighter(id="osmeray", name="Lin Osmeray", stance="orthodox", also=("Osmeray",)),
)
VOCABULARY = Vocabulary(
    concepts=(
        Concept(id="jab", label="jab"),
        Concept(id="hook", label="hook"),
        Concept(id="open-guard-bait", label="open-guard bait"),
    )
)
LABELS = label_finder(labels_of(VOCABULARY))
NOTES, TRANSCRIPTS = people_of(BOUT), people_of(BOUT, misheard=True)


def _cases() -> list[tuple[str, str, str]]:
    """Title, text and what it tells."""
    opening, *parts = CASES.read_text(encoding="utf-8").split("\n.\n")
    assert parts.pop() == "", "the last case ends with a dot"
    assert len(parts) % 3 == 2, "a case is a title, a text and what it tells, a dot behind each"
    titles = [opening.strip().split("\n")[-1], *(title.strip() for title in parts[2::3])]
    return list(zip(titles, parts[0::3], parts[1::3], strict=True))


def _shown(text: str, act: SaidAct) -> str:
    marks = [f"#{concept}" for concept in act.concepts]
    marks += [f"by:{act.by.fighter} ({act.by.way})"] if act.by else []
    marks += [f"on:{act.on.fighter}"] if act.on else []
    marks += [f"target:{one.value}" for one in act.targets] + [f"outcome:{one.value}" for one in act.outcomes]
    return f"“{' '.join(text[act.clause.begin : act.clause.stop].split())}” {' '.join(marks)}"


def told(text: str, spoken: bool) -> str:
    people = TRANSCRIPTS if spoken else NOTES
    acts = [_shown(text, act) for act in acts_said(text, people, LABELS)]
    fields = " ".join(f"{each.key}:{each.value}" for each in fields_said(text, people, LABELS))
    return "\n".join((*acts, f"note: {fields or 'nothing'}"))


@pytest.mark.parametrize(("title", "text", "expected"), _cases(), ids=lambda value: value[:40])
def test_golden_cases(title: str, text: str, expected: str) -> None:
    assert told(text, spoken=title.startswith("In a transcript")) == expected, title


PIECES = (
    "Beltrouk Osmeray Beltrouk's B. Red the southpaw jab hook lands blocked is hit by on and , . ; she not é 風 DOWN"
)


@given(st.lists(st.sampled_from(PIECES.split()), max_size=14).map(" ".join) | st.text())
def test_any_text_is_read_clause_by_clause(text: str) -> None:
    for people in (NOTES, TRANSCRIPTS):
        acts = acts_said(text, people, LABELS)
        assert all(one.clause.stop <= other.clause.begin for one, other in pairwise(acts))
        for act in acts:
            assert all(each.begin in act.clause for each in (*act.targets, *act.outcomes))
            assert {each.fighter for each in (act.by, act.on) if each} <= set(people.ids)
            assert act.by is None or act.on is None or act.by.fighter != act.on.fighter
        fields = fields_said(text, people, LABELS)
        assert len({each.key for each in fields}) == len(fields)
        known = {"by": people.ids, "on": people.ids, "target": TARGETS, "outcome": OUTCOMES}
        assert all(each.value in known[each.key] and 0 < each.probability < 1 for each in fields)


def test_without_fighters_nobody_acts() -> None:
    nobody = people_of(BOUT.model_copy(update={"red": None, "blue": None}))
    fields = fields_said("Beltrouk lands the jab, body jab blocked", nobody, LABELS)
    assert {each.key for each in fields} <= {"target", "outcome"}
