"""Against the SKOS Reference and rdflib.

Source of the graphs: SKOS Simple Knowledge Organization System Reference, W3C Recommendation, 18 August 2009,
examples 10 to 19 (labels) and 25 to 39 (semantic relations), each with the Reference's own verdict.
Graph comparison: rdflib.compare.isomorphic.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from rdflib import RDF, SKOS, Graph
from rdflib.compare import isomorphic

from fightnotes.model import Concept, Term, Vocabulary
from fightnotes.reading.vocabulary_file import read_vocabulary
from fightnotes.vocabulary.skos import export_skos, import_skos, vocabulary_to_graph

PREFIXES = "@prefix skos: <http://www.w3.org/2004/02/skos/core#> . @base <http://example.org/> .\n"
DEMO = Path(__file__).parents[2] / "corpus_demo" / "vocabulary.yaml"
SKOS_CONDITIONS = ("S13", "S14", "S27")

CONSISTENT = {
    10: '<MyResource> skos:prefLabel "animals"@en ; skos:altLabel "fauna"@en ; skos:hiddenLabel "aminals"@en ;'
    ' skos:prefLabel "animaux"@fr ; skos:altLabel "faune"@fr .',
    11: '<AnotherResource> skos:prefLabel "東"@ja-Hani ;'
    ' skos:prefLabel "ひがし"@ja-Hira ; skos:altLabel "あずま"@ja-Hira ;'
    ' skos:prefLabel "ヒガシ"@ja-Kana ; skos:altLabel "アズマ"@ja-Kana ; skos:prefLabel "higashi"@ja-Latn ;'
    ' skos:altLabel "azuma"@ja-Latn .',
    17: '<Love> skos:altLabel "adoration"@en , "desire"@en .',
    18: '<Colour> skos:prefLabel "color"@en , "color"@en-US , "colour"@en-GB .',
    19: '<Love> skos:prefLabel "love"@en ; skos:altLabel "love"@en-GB .',
    25: "<A> skos:broader <B> ; skos:related <C> .",
    33: "<A> skos:related <A> .",
    36: "<A> skos:broader <A> .",
    37: "<A> skos:broader <B> . <B> skos:broader <A> .",
    38: "<A> skos:broader <B> , <C> . <B> skos:broader <C> .",
    39: "<A> skos:broader <B> , <C> . <B> skos:broader <D> . <C> skos:broader <D> .",
}
NOT_CONSISTENT = {
    12: ("S14", '<Love> skos:prefLabel "love"@en ; skos:prefLabel "adoration"@en .'),
    13: ("S13", '<Love> skos:prefLabel "love"@en ; skos:altLabel "love"@en .'),
    14: ("S13", '<Love> skos:altLabel "love"@en ; skos:hiddenLabel "love"@en .'),
    15: ("S13", '<Love> skos:prefLabel "love"@en ; skos:hiddenLabel "love"@en .'),
    26: ("S27", "<A> skos:broader <B> ; skos:related <B> ."),
    27: ("S27", "<A> skos:broader <B> ; skos:related <C> . <B> skos:broader <C> ."),
    28: ("S27", "<A> a skos:Concept ; skos:broaderTransitive <C> ; skos:related <C> ."),
    29: ("S27", "<A> skos:narrower <B> ; skos:related <C> . <B> skos:narrower <C> ."),
}


def skos_breaches(turtle: str) -> list[str]:
    _, notes = import_skos(PREFIXES + turtle, "turtle")
    return [note for note in notes if note.startswith(SKOS_CONDITIONS)]


@pytest.mark.parametrize("number", CONSISTENT)
def test_what_the_reference_calls_consistent(number: int) -> None:
    assert skos_breaches(CONSISTENT[number]) == []


@pytest.mark.parametrize("number", NOT_CONSISTENT)
def test_what_the_reference_calls_not_consistent(number: int) -> None:
    condition, turtle = NOT_CONSISTENT[number]
    assert [note.split(":")[0] for note in skos_breaches(turtle)] == [condition]


@pytest.mark.parametrize(("number", "condition"), [(33, "related to itself"), (36, "cycle"), (37, "cycle")])
def test_what_the_reference_leaves_to_the_application_is_told_under_our_own_name(number: int, condition: str) -> None:
    _, notes = import_skos(PREFIXES + CONSISTENT[number], "turtle")
    assert [note for note in notes if note.startswith(f"{condition}: ")]


def test_s25_narrower_is_the_inverse_of_broader() -> None:
    vocabulary, _ = import_skos(PREFIXES + "<a> skos:narrower <b> .", "turtle")
    assert vocabulary.by_id["b"].broader == ("a",)


def test_s27_reaches_down_every_example_of_section_8_in_our_own_model() -> None:
    for number in (26, 27, 29):
        vocabulary, _ = import_skos(PREFIXES + NOT_CONSISTENT[number][1], "turtle")
        again, notes = import_skos(export_skos(vocabulary, "turtle"), "turtle")
        assert again.concepts == vocabulary.concepts
        assert [note for note in notes if note.startswith("S27: ")]


FULL = Vocabulary(
    concepts=(
        Concept(id="step", label="the step"),
        Concept(
            id="outside-step",
            label="outside step",
            also=("stepping outside", "a foot outside", 'the "long" step\\'),
            misheard=("out side step", "outside stab"),
            broader=("step",),
            related=("été", "hook"),
            definition="Two lines,\nand an accent: é.",
            scope="Open stances only.",
            pairing="open",
        ),
        Concept(id="hook", label="hook"),
        Concept(id="été", label="été"),
    ),
    terms=(Term(say="southpaw", misheard=("south paw", "south poor", "a sow paw")), Term(say="orthodox")),
)


@pytest.mark.parametrize("format", ["turtle", "json-ld"])
@pytest.mark.parametrize("base", ["urn:fightnotes:vocabulary#", "https://example.org/techniques/"])
def test_nothing_is_lost_on_the_way_out_and_in(format: str, base: str) -> None:
    text = export_skos(FULL, format, base)
    vocabulary, notes = import_skos(text, format)
    assert vocabulary == FULL
    assert notes == ()
    graph = Graph().parse(data=text, format=format)
    assert isomorphic(graph, vocabulary_to_graph(FULL, base))
    assert isomorphic(graph, vocabulary_to_graph(vocabulary, base))


@pytest.mark.parametrize("format", ["turtle", "json-ld"])
def test_the_demo_vocabulary_goes_out_and_in(format: str) -> None:
    vocabulary, _ = read_vocabulary(DEMO.read_text(encoding="utf-8"), DEMO.name)
    placeless = Vocabulary(
        concepts=tuple(concept.model_copy(update={"line": 0}) for concept in vocabulary.concepts),
        terms=vocabulary.terms,
    )
    text = export_skos(vocabulary, format)
    again, notes = import_skos(text, format)
    assert (again, notes) == (placeless, ())
    graph = Graph().parse(data=text, format=format)
    assert len(set(graph.subjects(RDF.type, SKOS.Concept))) == len(vocabulary.concepts) >= 50
