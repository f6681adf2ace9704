"""Suggested outcomes through the library: by the words, by the sentence as a whole, by the library's own notes."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import numpy as np
import pytest
from scipy.sparse import csr_array

from fightnotes.library import Library, open_library
from fightnotes.model import OUTCOMES
from fightnotes.suggesting.fields import FieldSuggestion
from fightnotes.suggesting.outcome_evidence import TOLD
from fightnotes.suggesting.outcome_model import CLASSES, OutcomeWeights, learn, shipped_weights

FRONT = """---
bout: {bout}
red: {{name: Ines Corvale, stance: southpaw, also: [Corvale]}}
blue: {{name: Rika Brandaal, stance: orthodox, also: [Brandaal]}}
---
"""


def _library(root: Path, **bouts: Iterable[str]) -> Library:
    """With the default model; notes ten seconds apart."""
    (root / "bouts").mkdir(parents=True)
    for bout, notes in bouts.items():
        lines = [f"- {number // 6}:{number % 6}0 {note}\n" for number, note in enumerate(notes, start=1)]
        (root / "bouts" / f"{bout}.md").write_text(FRONT.format(bout=bout) + "".join(lines), encoding="utf-8")
    library = open_library(root)
    library.build()
    return library


def _outcomes(library: Library, above: float = 0.5) -> dict[str, FieldSuggestion]:
    """By the words of the note."""
    found = library.suggest_marks(above=above, only="fields")
    return {each.segment.text: each for each in found if isinstance(each, FieldSuggestion) and each.field == "outcome"}


def test_what_no_usual_word_tells(tmp_path: Path) -> None:
    """Neither has a word for its outcome that the rules know; the sentence as a whole tells it."""
    told = {
        "Corvale fakes the left. Brandaal yawns.": "ignored",
        "Brandaal throws the right at a place that Corvale left some time ago.": "missed",
    }
    found = _outcomes(_library(tmp_path, one=told), above=0.4)
    assert {text: found[text].value for text in told} == told
    assert {str(found[text].why) for text in told} == {"its words as a whole"}


def test_nothing_is_made_of_notes_that_tell_no_outcome(tmp_path: Path) -> None:
    notes = ("They circle.", "Corvale in the middle of the ring, feet wide.", "Plan: make her turn, then the body.")
    assert not _outcomes(_library(tmp_path, one=notes))


def test_two_outcomes_in_one_note_make_neither_likely(tmp_path: Path) -> None:
    one, two = "Corvale's jab lands.", "Corvale's jab lands, and Brandaal's hook is blocked, and the right misses."
    found = _outcomes(_library(tmp_path, one=(one, two)), above=0.0)
    assert found[two].probability < found[one].probability


def test_the_reason_names_a_note_that_is_worded_alike(tmp_path: Path) -> None:
    known = [f"Corvale's jab finds nobody at home, {n} o'clock. by:corvale outcome:missed" for n in range(1, 8)]
    asked = "Corvale's jab arrives at an empty house."
    others = [f"Brandaal leans on the ropes, {n}." for n in range(1, 8)]
    library = _library(tmp_path, first=[*known, *others], second=[asked, *others])
    found = _outcomes(library, above=0.0)[asked]
    assert found.value == "missed"
    assert found.why.like.startswith("bouts/first.md:")
    assert found.why.places == (found.why.like,)
    assert f"worded like {found.why.like}" in str(found.why)


def test_a_library_that_notes_otherwise_is_followed(tmp_path: Path) -> None:
    """What this analyst calls partial others call landed."""
    asked = "Corvale jab lands."

    def found(written: str) -> FieldSuggestion:
        notes = [f"Corvale jab lands, {n}. by:corvale outcome:{written}" for n in range(30)]
        return _outcomes(_library(tmp_path / written, first=notes, second=[asked]), above=0.0)[asked]

    assert (found("partial").value, found("landed").value) == ("partial", "landed")


def test_an_outcome_of_the_library_s_own_is_known_by_usage(tmp_path: Path) -> None:
    root = tmp_path / "library"
    root.mkdir()
    (root / "library.yaml").write_text("outcomes: [smothered-out]\n", encoding="utf-8")
    (root / "vocabulary.yaml").write_text("concepts: [{id: frame, label: frame}]\n", encoding="utf-8")
    notes = [f"Frame, {n}. #frame by:corvale outcome:smothered-out" for n in range(20)]
    library = _library(root, first=notes, second=["Frame. #frame by:corvale"])
    assert _outcomes(library)["Frame."].value == "smothered-out"


def test_shipped_weights_are_for_the_outcomes_that_there_are() -> None:
    """Whoever adds an outcome fits them anew."""
    shipped = shipped_weights()
    columns = len(TOLD) + 1 + len(shipped.phrases.column)
    assert shipped.without_vectors.table.shape == (columns, len(CLASSES))
    assert shipped.with_vectors.table.shape == (columns + len(shipped.usual), len(CLASSES))


def test_weights_stay_where_nothing_is_learned() -> None:
    start = OutcomeWeights(np.eye(3, len(CLASSES)))
    assert learn(start, csr_array((0, 3), dtype=np.float32), []) is start
    assert learn(start, csr_array(np.ones((1, 3), dtype=np.float32)), [("of-ones-own",)]) is start


@pytest.mark.parametrize("outcome", OUTCOMES)
def test_what_is_learned_makes_it_likelier(outcome: str) -> None:
    start = OutcomeWeights(np.zeros((2, len(CLASSES))))
    evidence = csr_array(np.ones((5, 2), dtype=np.float32))
    column = OUTCOMES.index(outcome)
    before, after = (
        each.probabilities(evidence)[0, column] for each in (start, learn(start, evidence, [(outcome,)] * 5))
    )
    assert after > before
