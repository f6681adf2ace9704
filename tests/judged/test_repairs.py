"""What is repaired of the judged talks of the demo, on which the limits were set: see the bench `name_repair`."""

from __future__ import annotations

import pytest

from fightnotes.language.mishearings import find_mishearings
from fightnotes.reading.library import read_library
from tests.bench.name_repair import (
    DEMO,
    LEAST_PRECISION,
    LEAST_RECALL,
    LEE,
    STEPS,
    known_with,
    measures,
    repairs_of,
)
from tests.judged.talks import ROOT, TALKS, load_talk


@pytest.mark.parametrize(("share", "recall"), [("listed", 0.99), ("half", 0.9), ("cold", LEAST_RECALL)])
def test_what_is_applied_is_right(share: str, recall: float) -> None:
    reading = read_library(DEMO)
    paths = [path for path in TALKS if (ROOT / load_talk(path).file).is_relative_to(DEMO)]
    talks = [repairs_of(path, reading, STEPS[share]) for path in paths]
    counts = [measures(talks, names, sure=True) for names in (True, False)]
    right, found, judged = (sum(each) for each in zip(*counts, strict=True))
    assert judged > 100
    assert right / found >= LEAST_PRECISION
    assert right / judged >= recall


def test_no_news_is_repaired() -> None:
    """A third of the Lee corpus, against all names and the vocabulary of the demo, whose listed forms are left out."""
    reading = read_library(DEMO)
    people = {fighter.id: fighter for bout in reading.bouts for fighter in bout.fighters}
    known = known_with(people.values(), reading.vocabulary, STEPS["cold"])
    documents = LEE.read_text(encoding="utf-8", errors="replace").split("\n")[::3]
    found = [one for text in documents for one in find_mishearings(text.split(), known)]
    assert sum(len(text.split()) for text in documents) > 15_000
    assert [(one.heard, one.meant) for one in found if one.sure] == []


def test_no_note_is_repaired() -> None:
    """Notes are typed, so that nothing in them is misheard."""
    reading = read_library(DEMO)
    for bout in reading.bouts:
        known = known_with(bout.fighters, reading.vocabulary, STEPS["cold"])
        notes = [each.text for each in reading.segments if each.bout == bout.id and each.kind == "note"]
        words = [word for text in notes for word in (*text.split(), ".")]
        assert [(one.heard, one.meant) for one in find_mishearings(words, known) if one.sure] == []
