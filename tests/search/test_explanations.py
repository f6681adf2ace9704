"""Every hit explains itself: its words, its concepts, its nearness in meaning, and what is denied."""

from __future__ import annotations

import pytest

from fightnotes.library import Library, open_library
from fightnotes.search.find import Found
from fightnotes.search.hit import Hit, Why
from tests.conftest import MakeLibrary
from tests.search.samples import NAMES


def hit(found: Found, name: str) -> Hit:
    return next(hit for hit in found.hits if NAMES.get(hit.place) == name)


def test_words_as_they_stand_in_the_note_or_its_labels(library: Library) -> None:
    why = hit(library.find("stepping and planting feet", limit=50), "outside landed").why
    assert why.words == ("plants", "step")


def test_phrases_are_shown_as_such(library: Library) -> None:
    found = library.find('"lead foot" corner')
    assert {NAMES[one.place] for one in found.hits} == {"outside landed", "pivot"}
    assert hit(found, "pivot").why.words == ("“lead foot”", "corner")


def test_a_phrase_is_compared_by_stem_and_in_its_order(library: Library) -> None:
    assert [NAMES[one.place] for one in library.find('"lifting both glove"').hits] == ["bait refused"]
    assert not library.find('"foot lead"').hits


def test_concepts_that_the_query_names_with_the_label_it_says(library: Library) -> None:
    found = library.find("baiting with open guard", limit=50)
    assert "tag open-guard-bait (“baiting with an open guard”)" in hit(found, "bait worked").why.concepts


def test_a_named_concept_stands_for_its_narrower_ones(library: Library) -> None:
    found = library.find("footwork", limit=50)
    assert any(reason.startswith("tag pivot (near ") for reason in hit(found, "pivot").why.concepts)


def test_another_label_that_the_moment_says(library: Library) -> None:
    """The speech has no tags; it says an alternative label of the concept that the query names by another."""
    assert "“outside foot position”" in hit(library.find("outside step", limit=50), "speech").why.words


def test_another_label_with_a_possessive_for_its_article(make_library: MakeLibrary) -> None:
    concepts = "concepts:\n  - {id: open-guard-bait, label: open-guard bait, also: [showing the chin]}\n"
    notes = "---\nbout: one\n---\n- 0:10 Stands there showing his chin.\n- 0:20 A chin that shows nothing.\n"
    library = open_library(make_library({"vocabulary.yaml": concepts, "bouts/one.md": notes}))
    library.build()
    said = {hit.segment.line: hit.why.words for hit in library.find("open-guard bait").hits}
    assert said[4] == ("“showing the chin”",)
    assert not said.get(5)


def test_meaning_is_the_cosine_of_the_two_texts(library: Library) -> None:
    encoder = library.store.encoder
    for one in library.find("gloves lifted high", limit=5).hits:
        query, moment = encoder.encode(["gloves lifted high", one.text])
        assert one.why.meaning == pytest.approx(float(query @ moment), abs=1e-3)


def test_negated_words_are_named(library: Library) -> None:
    against = hit(library.find("throws the left", limit=50), "outside missed").why
    assert against.undone == ("not throw",)
    denies = hit(library.find("does not throw", limit=50), "outside missed").why
    assert denies.denies == ("not throw",)
    assert hit(library.find("the bait is never taken", limit=50), "bait refused").why.denies == (
        "refuses", "outcome:ignored",
    )  # fmt: skip


def test_a_denying_query_says_so(library: Library) -> None:
    assert "the query denies something: moments that deny nothing rank lower" in library.find("does not jab").notices
    assert not library.find("jab").notices


def test_names_say_how_they_were_read(library: Library) -> None:
    notices = library.find("body hook on Brandaal by core vale").notices
    assert "“Brandaal” is read as brandaal, who is acted on" in notices
    assert "“core vale” is read as corvale, who acts" in notices


def test_a_name_limits_to_the_bouts_of_the_fighter_and_prefers_the_part(library: Library) -> None:
    hits = library.find("Iturbeña jabs", limit=50).hits
    assert {one.bout.id for one in hits} == {"brandaal-iturbena-2030"}
    first, second = (library.find(f"{words} bait", limit=50).hits for words in ("Corvale's", "on Corvale"))
    assert hit_score(second, "bait taken") > hit_score(first, "bait taken")


def hit_score(hits: tuple[Hit, ...], name: str) -> float:
    return next(one.score for one in hits if NAMES.get(one.place) == name)


def test_as_text() -> None:
    why = Why(
        words=("bait", "open"), concepts=("tag jab (near 0.50)",), meaning=0.456,
        denies=("not throw", "outcome:ignored"), undone=("never bites",),
    )  # fmt: skip
    assert str(why) == (
        "words bait, open; tag jab (near 0.50); meaning 0.46; denies “not throw”; denies outcome:ignored; "
        "but: “never bites”"
    )
    assert str(Why()) == ""


def test_no_hit_names_the_nearest_label_that_a_person_would_write(library: Library) -> None:
    found = library.find('"outside stabbing"')
    assert not found.hits
    assert found.notices[-1] == "no moment answers this; the nearest label is “outside step”"
