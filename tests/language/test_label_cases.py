"""The golden cases of tests/cases/labels.md: what each room that looks for labels finds in a text."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.audit.data import typed_labels
from fightnotes.language.labels import LabelFinder, Mention, find_labels, label_finder
from fightnotes.model import Concept, Term, Vocabulary
from fightnotes.proposing.known_forms import known_forms
from fightnotes.search.query import query_labels
from fightnotes.suggesting.said import listening_for

CASES = Path(__file__).parents[1] / "cases" / "labels.md"
VOCABULARY = Vocabulary(
    concepts=(
        Concept(id="open-guard-bait", label="open-guard bait", also=("show chin", "baiting with an open guard")),
        Concept(id="bait", label="bait"),
        Concept(id="jab", label="jab", misheard=("chab",)),
        Concept(id="cross", label="cross"),
        Concept(id="double-jab", label="double jab", broader=("jab",)),
        Concept(id="one-two", label="one-two", also=("jab cross",)),
        Concept(id="check-hook", label="check hook", misheard=("czech hook",)),
        Concept(id="catch-and-shoot", label="catch and shoot"),
        Concept(id="defence", label="defence", also=("not getting hit",)),
        Concept(id="boxers-bounce", label="boxer's bounce"),
    ),
    terms=(Term(say="southpaw", misheard=("south paw",)),),
)
ROOMS: dict[str, LabelFinder] = {
    "find": query_labels(VOCABULARY),
    "suggest": listening_for(VOCABULARY).finder,
    "propose": known_forms(VOCABULARY, ()).labels,
    "audit": label_finder(typed_labels(VOCABULARY)),
}


def _cases() -> list[tuple[str, str, str]]:
    """Title, text and what is found."""
    opening, *parts = CASES.read_text(encoding="utf-8").split("\n.\n")
    assert parts.pop() == "", "the last case ends with a dot"
    assert len(parts) % 3 == 2, "a case is a title, a text and what is found, a dot behind each"
    titles = [opening.strip().split("\n")[-1], *(title.strip() for title in parts[2::3])]
    return list(zip(titles, parts[0::3], parts[1::3], strict=True))


def _shown(mention: Mention) -> str:
    concept, sense = mention.concept or "trade word", mention.sense
    return f"{concept} “{mention.written}”" + (f" {sense}" if sense else "")


@pytest.mark.parametrize(("title", "text", "expected"), _cases(), ids=lambda value: value[:40])
def test_golden_cases(title: str, text: str, expected: str) -> None:
    found = {room: ", ".join(map(_shown, find_labels(text, finder))) for room, finder in ROOMS.items()}
    rooms: dict[str, list[str]] = {}
    for room, said in found.items():
        rooms.setdefault(said or "nothing", []).append(room)
    lines = [f"{', '.join(who) if len(rooms) > 1 else 'all'}: {said}" for said, who in rooms.items()]
    assert "\n".join(lines) == expected, title


PIECES = "double jabs the his jab cross not , . open guard bait Corvale's é 風"


@given(st.lists(st.sampled_from(PIECES.split()), max_size=12).map(" ".join), st.sampled_from(list(ROOMS.values())))
def test_labels_stand_in_order_and_apart(text: str, finder: LabelFinder) -> None:
    found = find_labels(text, finder)
    places = [offset for one in found for offset in (one.begin, one.stop)]
    assert places == sorted(places)
    assert all(find_labels(one.written, finder)[0].label == one.label for one in found)


@given(st.text())
def test_any_text_is_read(text: str) -> None:
    assert all(one.written for finder in ROOMS.values() for one in find_labels(text, finder))
