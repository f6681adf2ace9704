from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fightnotes.editing.vocabulary_text import sections
from fightnotes.errors import UnreadableFile
from fightnotes.model import Concept, Term, Vocabulary
from fightnotes.reading.vocabulary_file import read_vocabulary
from fightnotes.vocabulary.skos import export_skos, import_skos
from tests.whole_vocabulary import vocabulary_to_yaml

PREFIXES = (
    "@prefix skos: <http://www.w3.org/2004/02/skos/core#> . @prefix : <http://example.org/t/> .\n"
    "@prefix own: <urn:fightnotes:skos#> .\n"
)
HOOK = ':hook a skos:Concept ; skos:prefLabel "hook"@en'

labels = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=8).map(str.strip).filter(bool)
several = st.lists(labels, max_size=4, unique=True).map(tuple)
ids = st.sampled_from(["jab", "cross", "lead-hook", "slip", "été"])


@st.composite
def vocabularies(draw: st.DrawFn) -> Vocabulary:
    names = draw(st.lists(ids, max_size=5, unique=True))
    links = st.lists(st.sampled_from(names), max_size=3, unique=True).map(tuple) if names else st.just(())
    return Vocabulary(
        concepts=tuple(
            Concept(
                id=name,
                label=draw(labels),
                also=draw(several),
                misheard=draw(several),
                broader=draw(links),
                related=draw(links),
                definition=draw(st.one_of(st.just(""), labels)),
                scope=draw(st.one_of(st.just(""), labels)),
                pairing=draw(st.sampled_from([None, "open", "closed"])),
            )
            for name in names
        ),
        terms=tuple(Term(say=say, misheard=draw(several)) for say in draw(st.lists(labels, max_size=3, unique=True))),
    )


@settings(max_examples=40, deadline=None)
@given(vocabularies(), st.sampled_from(["turtle", "json-ld"]))
def test_any_vocabulary_goes_out_and_in_with_every_order_kept(vocabulary: Vocabulary, format: str) -> None:
    again, _ = import_skos(export_skos(vocabulary, format), format)
    assert again == vocabulary


def read(turtle: str, language: str = "en") -> tuple[Vocabulary, tuple[str, ...]]:
    return import_skos(PREFIXES + turtle, "turtle", language)


def test_several_languages_one_is_kept_and_the_others_are_counted() -> None:
    turtle = f'{HOOK}, "Haken"@de ; skos:altLabel "crochet"@fr, "turned blow"@en ; skos:definition "Krumm."@de .'
    vocabulary, notes = read(turtle)
    assert vocabulary.concepts == (Concept(id="hook", label="hook", also=("turned blow",)),)
    assert notes == (
        "left out: 1 texts in fr; the file holds one language, and en was asked for",
        "left out: 2 texts in de; the file holds one language, and en was asked for",
    )
    german, _ = read(turtle, "de")
    assert german.concepts == (Concept(id="hook", label="Haken", definition="Krumm."),)


def test_where_the_language_is_missing_another_gives_the_preferred_label() -> None:
    vocabulary, _ = read(':hook skos:prefLabel "crochet"@fr, "Haken"@de .')
    assert vocabulary.by_id["hook"].label in ("Haken", "crochet")


def test_regional_preferred_labels_are_kept_as_alternative_ones() -> None:
    vocabulary, notes = read(':c skos:prefLabel "color"@en, "color"@en-US, "colour"@en-GB .')
    assert (vocabulary.by_id["c"].label, vocabulary.by_id["c"].also) == ("color", ("colour",))
    assert any("'colour'" in note for note in notes)


def test_what_the_file_has_no_place_for_is_told() -> None:
    _, notes = read(f"{HOOK} ; skos:exactMatch <http://example.org/other> ; skos:notation '12' ; own:pairing 'open' .")
    assert {note.split(",")[0] for note in notes} == {
        "left out: 1 of http://www.w3.org/2004/02/skos/core#exactMatch",
        "left out: 1 of http://www.w3.org/2004/02/skos/core#notation",
    }


def test_an_address_that_does_not_end_in_an_id_takes_one_from_its_label() -> None:
    vocabulary, notes = read(
        '<http://example.org/c_12> skos:prefLabel "Lead hook!"@en .'
        '<http://example.org/d_9> skos:prefLabel "lead-hook" .'
        '<http://example.org/e_1> skos:prefLabel "1-2"@en ; skos:broader <http://example.org/c_12> .'
    )
    assert [concept.id for concept in vocabulary.concepts] == ["lead-hook", "lead-hook-2", "c-1-2"]
    assert vocabulary.by_id["c-1-2"].broader == ("lead-hook",)
    assert sum("is called" in note for note in notes) == 3


def test_labels_added_by_another_program_come_behind_those_in_order() -> None:
    text = export_skos(Vocabulary(concepts=(Concept(id="jab", label="jab", also=("z", "b")),)), "turtle")
    grown = text.replace('skos:altLabel "b"@en', 'skos:altLabel "a"@en, "b"@en')
    assert grown != text
    assert import_skos(grown, "turtle")[0].by_id["jab"].also == ("z", "b", "a")


def test_an_import_can_be_written_as_the_vocabulary_file() -> None:
    vocabulary, _ = read(f'{HOOK} ; skos:broader :b ; skos:altLabel "No"@en . :b skos:prefLabel "punch: any"@en .')
    again, problems = read_vocabulary(vocabulary_to_yaml(vocabulary), "vocabulary.yaml")
    assert problems == ()
    assert sections(again) == sections(vocabulary)


@pytest.mark.parametrize(
    ("text", "format", "message"),
    [
        ("@prefix skos: <x> .\n:a :b", "turtle", "SKOS:2:1"),
        ("{", "json-ld", "SKOS:1:2"),
        ('{"@context": "https://example.org/context.jsonld", "@id": "a"}', "json-ld", "a context elsewhere"),
        ('{"@graph": [{"@context": [{"@import": "x"}]}]}', "json-ld", "a context elsewhere"),
        ('{"@context": 5}', "json-ld", "JSON-LD"),
        ('{"@context": {"a": {"@id": 5}}, "a": 1}', "json-ld", "JSON-LD"),
        ("5", "json-ld", "a JSON-LD document"),
    ],
)
def test_what_cannot_be_read_is_told(text: str, format: str, message: str) -> None:
    with pytest.raises(UnreadableFile, match=message):
        import_skos(text, format)


def test_a_list_that_bites_its_tail_ends() -> None:
    vocabulary, _ = read(
        "@prefix rdf: <http://www.w3.org/1999/02/22-rdf-syntax-ns#> ."
        f'{HOOK} ; skos:altLabel "b"@en ; own:alsoInOrder _:l . _:l rdf:first "b"@en ; rdf:rest _:l .'
    )
    assert vocabulary.by_id["hook"].also == ("b",)
