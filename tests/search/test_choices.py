"""What the filters of a library can be given."""

from __future__ import annotations

from fightnotes import Filters
from fightnotes.library import open_library
from tests.conftest import MakeLibrary

VOCABULARY = "concepts:\n  - {id: jab, label: the jab}\n  - {id: cross, label: cross}\n"
NOTES = """---
bout: b
date: 2031-05-01
red: {name: Ada Lorn}
blue: {name: Bo Kest}
analyst: mk
---
- 0:10 out of range #cross
- 0:30 again #cross #shoe-shine
"""
OLDER = "---\nbout: a\ndate: 2030-05-01\nred: {name: Bo Kest}\n---\n- 0:10 in #jab\n"


def test_all_that_a_library_has(make_library: MakeLibrary) -> None:
    files = {"vocabulary.yaml": VOCABULARY, "bouts/b.md": NOTES, "bouts/a.md": OLDER}
    root = make_library({**files, "library.yaml": "outcomes: [slipped]\n"})
    library = open_library(root)
    library.build()
    choices = library.choices()
    assert [fighter.id for fighter in choices.fighters] == ["kest", "lorn"]
    assert [bout.id for bout in choices.bouts] == ["a", "b"]
    assert choices.analysts == ("mk",)
    assert "slipped" in choices.outcomes
    assert [(tag.name, tag.label, tag.moments) for tag in choices.tags] == [
        ("jab", "the jab", 1), ("cross", "cross", 2), ("shoe-shine", "shoe-shine", 1),
    ]  # fmt: skip
    assert choices.commonest[0].name == "cross"
    assert choices.notes == 3


def test_the_filters_take_every_choice(make_library: MakeLibrary) -> None:
    library = open_library(make_library({"vocabulary.yaml": VOCABULARY, "bouts/b.md": NOTES, "bouts/a.md": OLDER}))
    library.build()
    choices = library.choices()
    for given in (
        *(Filters(fighter=(fighter.id,)) for fighter in choices.fighters),
        *(Filters(bout=(bout.id,)) for bout in choices.bouts),
        *(Filters(tags=(tag.name,)) for tag in choices.tags),
        *(Filters(analyst=(analyst,)) for analyst in choices.analysts),
        Filters(outcome=choices.outcomes, target=choices.targets),
    ):
        library.find("", given)
    assert {hit.segment.bout for hit in library.find("", Filters(bout=tuple(b.id for b in choices.bouts))).hits} == {
        "a",
        "b",
    }
