"""Proposals for the vocabulary, from whole libraries down to their measures."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from sklearn.metrics.pairwise import cosine_similarity

from fightnotes.errors import UnknownName
from fightnotes.language.words import written_words
from fightnotes.library import open_library
from fightnotes.model import Concept, Segment, Term, Vocabulary, fold
from fightnotes.proposing.known_forms import KnownForms, known_forms, without_names
from fightnotes.proposing.misheard_forms import MisheardForm, misheard_forms
from fightnotes.proposing.proposal import Proposal
from fightnotes.proposing.propose import proposal_of
from fightnotes.proposing.term_home import home_of
from fightnotes.proposing.term_uses import term_uses
from fightnotes.proposing.weights import tightness
from fightnotes.reading.library import read_library
from tests.conftest import DEMO, MakeLibrary

HEAD = """\
---
bout: a-b-2031
title: A v B
red: {name: Ines Corvale, stance: southpaw}
blue: {name: Rika Brandaal, stance: orthodox, misheard: [brand all]}
media: {file: a.mp4, rate: 25, bells: {1: "0:00:00"}}
rounds: {count: 3, length: "3:00", clock: up}
sources: [{file: ../transcripts/talk.vtt, kind: transcript}]
---
"""
VOCABULARY = """\
concepts:
  - {id: punches, label: punches}
  - {id: cross, label: cross, also: [straight left], broader: punches, definition: A rear-hand punch.}
  - {id: open-guard-bait, label: open-guard bait}
  - {id: footwork, label: footwork}
  - {id: parry, label: parry}
terms:
  - {say: southpaw}
"""
NOTES = """\
- R1 0:10 Corvale a heel pivot by the ropes #footwork
- R1 0:20 Brandaal a heel pivot by the ropes #footwork
- R1 0:30 Corvale heel pivots by the ropes #footwork
- R1 0:40 Short cross, landed clean.
- R1 0:50 Short cross, landed clean.
- R1 1:00 Short cross, landed clean.
- R1 1:10 Left straight down the line.
- R1 1:20 Left straight down the line.
- R1 1:30 Left straight down the line.
- R1 1:40 Turned it off with the open glove. #parry
- R1 1:50 Turned it off with the open glove. #parry
- R1 2:00 The right hand and the front foot, the right hand and the front foot.
"""
TALK = """\
WEBVTT

00:01:40.000 --> 00:01:43.000
and there is the perry off the glove

00:02:20.000 --> 00:02:24.000
an open god bait by brand all of course

00:02:30.000 --> 00:02:33.000
a sow paw south paw whatever
"""


def proposals(make_library: MakeLibrary, **files: str) -> dict[str, Proposal]:
    texts = {
        "vocabulary.yaml": VOCABULARY, "bouts/a.md": HEAD + NOTES, "transcripts/talk.vtt": TALK,
    } | files  # fmt: skip
    library = open_library(make_library(texts))
    library.build()
    return {proposal.term: proposal for proposal in library.propose(limit=None)}


def test_terms_that_no_label_covers_are_proposed_with_their_places(make_library: MakeLibrary) -> None:
    found = proposals(make_library)
    pivot = found["heel pivot"]
    assert (pivot.kind, pivot.concept, pivot.uses, pivot.segments) == ("label", "footwork", 3, 3)
    assert pivot.why.startswith("3 of 3 tagged moments with it are footwork")
    assert [(each.place, *each.where) for each in pivot.examples] == [
        ("bouts/a.md:10", "a-b-2031", "R1 0:10", "0:10-0:20"),
        ("bouts/a.md:11", "a-b-2031", "R1 0:20", "0:20-0:30"),
        ("bouts/a.md:12", "a-b-2031", "R1 0:30", "0:30-0:40"),
    ]
    assert (found["short cross"].kind, found["short cross"].concept) == ("concept", "cross")
    assert (found["left straight"].kind, found["left straight"].concept) == ("label", "cross")


def test_names_outcomes_and_bare_limbs_are_no_terms(make_library: MakeLibrary) -> None:
    terms = {term for term, each in proposals(make_library).items() if each.kind != "misheard"}
    assert "heel pivot" in terms
    assert not {word for term in terms for word in term.split()} & {"corvale", "brandaal", "landed", "a", "and"}
    assert not {"right hand", "front foot", "straight left"} & terms


def test_mishearings_need_a_sound_and_a_reason(make_library: MakeLibrary) -> None:
    found = {term: each for term, each in proposals(make_library).items() if each.kind == "misheard"}
    assert {(each.term, each.concept, each.trade_word) for each in found.values()} == {
        ("perry", "parry", None),
        ("open god bait", "open-guard-bait", None),
        ("south paw", None, "southpaw"),
    }
    perry, god = found["perry"], found["open god bait"]
    assert perry.why == "sounds like 'parry' (0.87); one word alone; 1 at a moment tagged so; in doubt (0.75)"
    assert god.why == "sounds like 'open-guard bait' (0.91); ordinary words; put right unasked (0.87)"
    assert (perry.sure, god.sure) == (False, True)
    alone = proposals(make_library, **{"bouts/a.md": HEAD + NOTES.replace("#parry", "")})
    assert "perry" not in alone, "one word, once, and nothing else that speaks for it"


def test_a_rejected_term_is_not_proposed_again_and_the_limit_takes_the_weightiest(make_library: MakeLibrary) -> None:
    before = proposals(make_library)
    library = open_library(make_library({}))
    library.apply(library.plan_term_rejection("Heel  Pivot"))
    after = library.propose(limit=None)
    assert [each.term for each in after] == [term for term in before if term != "heel pivot"]
    assert library.propose(limit=2) == after[:2]
    assert sorted(after, key=lambda each: (each.sure, -each.weight)) == list(after)
    with pytest.raises(UnknownName, match="'heel pivot' is not proposed"):
        proposal_of(after, "heel pivot")


def test_a_library_without_anything_proposes_nothing(make_library: MakeLibrary) -> None:
    library = open_library(make_library({}))
    library.build()
    assert library.propose() == ()


@given(arrays(np.float32, st.tuples(st.integers(1, 8), st.integers(2, 5)), elements=st.floats(0.125, 1, width=32)))
def test_tightness_is_the_mean_cosine_to_the_centroid(rows: np.ndarray) -> None:
    """scikit-learn's cosine_similarity."""
    vectors = rows / np.linalg.norm(rows, axis=1, keepdims=True)
    expected = cosine_similarity(vectors, vectors.mean(axis=0, keepdims=True)).mean()
    assert tightness(vectors) == pytest.approx(float(expected), abs=1e-5)


def test_a_term_with_a_side_needs_the_tags_to_be_a_label() -> None:
    vocabulary = Vocabulary(
        concepts=(Concept(id="punches", label="punches"), Concept(id="hook", label="hook", broader=("punches",)))
    )
    reading = read_library(DEMO)
    tagged = [each for each in reading.segments if [tag.concept for tag in each.tags] == ["lead-hook"]]
    hooks = [
        each.model_copy(update={"tags": tuple(tag.model_copy(update={"concept": "hook"}) for tag in each.tags)})
        for each in tagged[:4]
    ]
    assert len(hooks) == 4
    near = {"hook": 0.6, "punches": 0.1}
    assert home_of(("bent", "arm"), hooks[:2], vocabulary, near).kind == "label"
    assert home_of(("left", "arm"), hooks[:2], vocabulary, near).kind == "concept"
    assert home_of(("left", "arm"), hooks, vocabulary, near).kind == "label"
    assert home_of(("left", "hook"), hooks, vocabulary, near).concept == "hook"
    assert home_of(("bent", "arm"), [], vocabulary, near).concept == "punches"
    assert home_of(("bent", "arm"), [], Vocabulary(), {}).concept is None


def texts_of(segments: dict[int, Segment], known: KnownForms) -> dict[int, str]:
    return {number: without_names(segment.text, known) for number, segment in segments.items()}


def hidden(vocabulary: Vocabulary) -> Vocabulary:
    """The vocabulary as it was before anyone listed what the recogniser makes of its labels."""
    return Vocabulary(
        concepts=tuple(concept.model_copy(update={"misheard": ()}) for concept in vocabulary.concepts),
        terms=tuple(Term(say=term.say) for term in vocabulary.terms),
    )


def test_the_demo_s_listed_mishearings_are_found_again_and_hardly_anything_else() -> None:
    """Against the mishearings that the demo's vocabulary lists. The limits were set on the same transcripts."""
    reading = read_library(DEMO)
    segments = dict(enumerate(reading.segments))
    vocabulary = hidden(reading.vocabulary)
    found = misheard_forms(segments, {bout.id: bout for bout in reading.bouts}, vocabulary)
    listed = {fold(form): concept.id for concept in reading.vocabulary.concepts for form in concept.misheard}
    listed |= {fold(form): term.say for term in reading.vocabulary.terms for form in term.misheard}
    talks = (each.heard for each in reading.segments if each.kind == "transcript")
    talk = " ".join(fold(word) for each in talks for word in written_words(each))
    spoken = {form for form in listed if f" {form} " in talk}

    def right(form: MisheardForm) -> bool:
        return form.label is not None and listed.get(form.text) == (form.label.concept or form.label.text)

    hits = [form.text for form in found if right(form)]
    assert len(spoken) >= 30
    assert len(hits) / len(spoken) >= 0.75
    assert len(hits) / len(found) >= 0.9
    assert all(right(form) for form in found if form.sure)


def test_the_demo_s_candidates_keep_clear_of_labels_and_names() -> None:
    reading = read_library(DEMO)
    known = known_forms(reading.vocabulary, reading.bouts, reading.settings.fighters)
    segments = dict(enumerate(reading.segments))
    terms = term_uses(texts_of(segments, known), known, reading.settings.outcomes)
    labels = {fold(label) for concept in reading.vocabulary.concepts for label, _ in concept.labels()}
    names = {fold(word) for bout in reading.bouts for fighter in bout.fighters for word in fighter.name.split()}
    assert len(terms) > 500
    assert not labels & {term.text for term in terms}
    assert not names & {word for term in terms for word in term.text.split()} - {"van"}
    assert [term.c_value for term in terms] == sorted((term.c_value for term in terms), reverse=True)
    for term in terms[:50]:
        for use in term.uses:
            words = fold(segments[use.segment].text[use.begin : use.stop]).split()
            assert len(words) == len(term.stems)
