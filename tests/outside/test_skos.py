"""Against the SKOS Reference and rdflib.

Source of the graphs: SKOS Simple Knowledge Organization System Reference, W3C Recommendation, 18 August 2009,
examples 10 to 19 (labels) and 25 to 39 (semantic relations), each with the Reference's own verdict; schemes, notations,
documentation, collections, mapping and SKOS-XL by section.
Graph comparison: rdflib.compare.isomorphic.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from rdflib import RDF, SKOS, Graph, Literal, URIRef
from rdflib.compare import isomorphic

from fightnotes.model import MATCH_KINDS, Concept, Term, Vocabulary
from fightnotes.model.conditions import breaches
from fightnotes.reading.vocabulary_file import read_vocabulary
from fightnotes.vocabulary.edits import LibraryText
from fightnotes.vocabulary.imported import plan_import
from fightnotes.vocabulary.skos import export_skos, vocabulary_to_graph
from fightnotes.vocabulary.skos_file import import_skos
from fightnotes.vocabulary.skos_names import BASE
from fightnotes.vocabulary.skos_read import Imported
from tests.conftest import MakeLibrary, RunCommand

PREFIXES = "@prefix skos: <http://www.w3.org/2004/02/skos/core#> . @base <http://example.org/> .\n"
DEMO = Path(__file__).parents[2] / "corpus_demo" / "vocabulary.yaml"
EMPTY = LibraryText(Vocabulary(), "", (), {})
FOREIGN = """
<s> a skos:ConceptScheme ; skos:prefLabel "Strikes"@en .
<jab> a skos:Concept ; skos:inScheme <s> ; skos:prefLabel "jab"@en ; skos:altLabel "lead straight"@en ;
  skos:definition "Straight."@en ; skos:notation "1" ; skos:exactMatch <http://other.example/9> ;
  skos:example "The lead hand shoots out."@en .
<c_7> a skos:Concept ; skos:inScheme <s> ; skos:prefLabel "lead hook"@en ; skos:related <jab> .
[] a skos:Collection ; skos:prefLabel "lead hand"@en ; skos:member <jab> , <c_7> .
"""

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


def imported(turtle: str, language: str = "en") -> Imported:
    """What is taken of a graph in which A, B, C, D and a, b have labels, as concepts without any are not taken."""
    bare = [name for name in "ABCDab" if f"<{name}>" in turtle and f"<{name}> skos:prefLabel" not in turtle]
    labels = " ".join(f'<{name}> skos:prefLabel "thing {ord(name)}"@en .' for name in bare)
    return import_skos(PREFIXES + turtle + labels, "turtle", language)


def skos_breaches(turtle: str) -> list[str]:
    found = imported(turtle)
    return [reason for reasons in found.refused.values() for reason in reasons if re.match(r"S\d", reason)]


@pytest.mark.parametrize("number", CONSISTENT)
def test_what_the_reference_calls_consistent(number: int) -> None:
    assert skos_breaches(CONSISTENT[number]) == []


@pytest.mark.parametrize("number", NOT_CONSISTENT)
def test_what_the_reference_calls_not_consistent(number: int) -> None:
    condition, turtle = NOT_CONSISTENT[number]
    assert [reason.split(":")[0] for reason in skos_breaches(turtle)] == [condition]


@pytest.mark.parametrize(("number", "condition"), [(33, "related to itself"), (36, "cycle"), (37, "cycle")])
def test_what_the_reference_leaves_to_the_application_is_refused_under_our_own_name(
    number: int, condition: str
) -> None:
    plan = plan_import(EMPTY, imported(CONSISTENT[number]))
    assert plan.refused
    assert all(f": {condition}: " in reason for reason in plan.refused)


def test_s25_narrower_is_the_inverse_of_broader() -> None:
    assert imported("<a> skos:narrower <b> .").vocabulary.by_id["b"].broader == ("a",)


def test_s27_names_the_lower_concept_in_the_graph_and_in_our_own_model() -> None:
    links = {
        26: (("A", ("B",), ("B",)), ("B", (), ())),
        27: (("A", ("B",), ("C",)), ("B", ("C",), ()), ("C", (), ())),
        29: (("A", (), ("C",)), ("B", ("A",), ()), ("C", ("B",), ())),
    }
    for number, concepts in links.items():
        (reason,) = skos_breaches(NOT_CONSISTENT[number][1])
        ours = breaches(
            Vocabulary(
                concepts=tuple(
                    Concept(id=id, label=f"thing {id}", broader=broader, related=related)
                    for id, broader, related in concepts
                )
            )
        )
        assert [breach.condition for breach in ours] == ["S27"]
        assert {ours[0].concept, ours[0].other} == {reason.split()[1], reason.split()[5].rstrip(",")}


# The graphs below follow the Reference's sections 4 to 10 and appendix B, by section and from memory; the verdicts are
# its integrity conditions.
KEPT_OR_NAMED = {
    "4.6.2 inScheme": (
        '<MyScheme> a skos:ConceptScheme ; skos:hasTopConcept <A> . <B> skos:inScheme <MyScheme> .',
        "left out: the concept scheme <http://example.org/MyScheme>, of A, B",
    ),
    "7.5 documentation, text": (
        '<A> skos:note "a note"@en ; skos:example "an example"@en ; skos:historyNote "old"@en ;'
        ' skos:editorialNote "check"@en ; skos:changeNote "moved"@en .',
        "A: left out: skos:changeNote 'moved'@en; skos:editorialNote 'check'@en; skos:example 'an example'@en;"
        " skos:historyNote 'old'@en; skos:note 'a note'@en",
    ),
    "7.5 documentation, a resource": (
        '<A> skos:note [ <http://www.w3.org/1999/02/22-rdf-syntax-ns#value> "a note"@en ] .',
        "A: left out: skos:note [rdf:value 'a note']",
    ),
    "9.6.1 Collection": (
        "<MyCollection> a skos:Collection ; skos:member <A> , <B> , <C> .",
        "left out: the collection <http://example.org/MyCollection>, of A, B, C",
    ),
    "9.6.2 OrderedCollection": (
        "<Ordered> a skos:OrderedCollection ; skos:memberList ( <C> <A> <B> ) .",
        "left out: the collection <http://example.org/Ordered>, of A, B, C",
    ),
    "9.6.3 a collection in a collection": (
        "<Outer> a skos:Collection ; skos:member <A> , <Inner> . <Inner> a skos:Collection .",
        "left out: the collection <http://example.org/Outer>, of A, <http://example.org/Inner>",
    ),
    "9.6.4 a collection is no end of a semantic relation": (
        "<A> skos:narrower <Inner> . <Inner> a skos:Collection ; skos:member <B> .",
        "A: left out: skos:narrower <http://example.org/Inner>",
    ),
    "B.3 labels of SKOS-XL": (
        '<A> <http://www.w3.org/2008/05/skos-xl#altLabel> <L> .'
        ' <L> a <http://www.w3.org/2008/05/skos-xl#Label> ;'
        ' <http://www.w3.org/2008/05/skos-xl#literalForm> "love"@en .',
        "A: left out: skosxl:altLabel 'love'@en",
    ),
}  # fmt: skip
APART = {
    "4.4 S9": ("S9", "<A> a skos:Concept , skos:ConceptScheme ."),
    "9.4 S37": ("S37", "<A> a skos:Concept , skos:Collection ."),
    "10.4 S46, broad": ("S46", "<A> skos:exactMatch <B> ; skos:broadMatch <B> ."),
    "10.4 S46, related": ("S46", "<A> skos:exactMatch <B> ; skos:relatedMatch <B> ."),
    "10.4 S46 by S43": ("S46", "<A> skos:exactMatch <B> ; skos:narrowMatch <B> ."),
    "10.4 S46 by S44 and S45": ("S46", "<B> skos:exactMatch <A> , <C> . <A> skos:broadMatch <C> ."),
    "8.4 S27 by S41": ("S27", "<A> skos:broadMatch <B> ; skos:relatedMatch <B> ."),
}
TOGETHER = (
    "<A> skos:broader <B> ; skos:broadMatch <B> .",
    "<A> skos:related <B> ; skos:relatedMatch <B> .",
    "<A> skos:exactMatch <B> ; skos:closeMatch <B> .",
    "<A> skos:exactMatch <B> . <B> skos:exactMatch <C> .",
    "<A> skos:broadMatch <B> ; skos:relatedMatch <C> .",
    "<A> skos:closeMatch <B> . <B> skos:closeMatch <C> .",
)
"""Section 10.6: mapping links beside semantic relations, and chains of them."""


@pytest.mark.parametrize("section", KEPT_OR_NAMED)
def test_what_has_no_place_is_named(section: str) -> None:
    turtle, said = KEPT_OR_NAMED[section]
    found = imported(turtle)
    assert said in found.notes
    assert not found.refused
    assert found.vocabulary.concepts


@pytest.mark.parametrize("section", APART)
def test_what_the_reference_holds_apart(section: str) -> None:
    condition, turtle = APART[section]
    assert {reason.split(":")[0] for reason in skos_breaches(turtle)} == {condition}


@pytest.mark.parametrize("turtle", TOGETHER)
def test_what_the_reference_lets_stand_together(turtle: str) -> None:
    assert skos_breaches(turtle) == []


def test_section_10_mapping_links_come_back_and_the_address_with_them() -> None:
    turtle = " ".join(f"<A> skos:{kind}Match <http://other.example/{kind}> ." for kind in MATCH_KINDS)
    found = imported(turtle + " <http://other.example/x> skos:narrowMatch <A> .")
    assert not found.notes
    graph = Graph().parse(data=export_skos(found.vocabulary, "turtle"))
    node = URIRef("http://example.org/A")
    for kind in MATCH_KINDS:
        assert (node, SKOS[f"{kind}Match"], URIRef(f"http://other.example/{kind}")) in graph
    assert (node, SKOS.broadMatch, URIRef("http://other.example/x")) in graph, "S43: narrowMatch is the inverse"


def test_section_6_notations_come_back_with_their_datatypes() -> None:
    found = imported('<A> skos:notation "K"^^<Symbol> , "19" , "19"^^<Number> .')
    assert not found.notes
    graph = Graph().parse(data=export_skos(found.vocabulary, "turtle"))
    assert set(graph.objects(URIRef("http://example.org/A"), SKOS.notation)) == {
        Literal("K", datatype=URIRef("http://example.org/Symbol")),
        Literal("19"),
        Literal("19", datatype=URIRef("http://example.org/Number")),
    }


def test_through_the_command_a_foreign_file_comes_out_as_it_went_in_but_for_what_was_named(
    fightnotes: RunCommand, make_library: MakeLibrary, tmp_path: Path
) -> None:
    file, out, root = tmp_path / "in.ttl", tmp_path / "out.ttl", make_library({})
    file.write_text(PREFIXES + FOREIGN)
    result = fightnotes("vocabulary", "import", file, "--library", root)
    assert (result.exit_code, "left out" in result.stderr) == (0, True)
    assert fightnotes("vocabulary", "export", out, "--library", root).exit_code == 0
    before, after = Graph().parse(file), Graph().parse(out)
    nodes = set(before.subjects(RDF.type, SKOS.Concept))
    gone = {(s, p, o) for s, p, o in set(before) - set(after) if s in nodes}
    new = {(s, p, o) for s, p, o in set(after) - set(before) if s in nodes}
    assert {str(p).partition("#")[2] for _, p, _ in gone} == {"example", "inScheme"}
    assert {str(p).partition("#")[2] for _, p, _ in new} == {"id", "inScheme", "topConceptOf"}
    for word in ("'The lead hand", "Strikes", "of jab, lead-hook"):
        assert word in result.stderr
    again = fightnotes("vocabulary", "import", out, "--library", root)
    assert (again.exit_code, again.stdout) == (0, "")


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
    found = import_skos(text, format)
    vocabulary = Vocabulary(
        concepts=tuple(
            concept.model_copy(update={"address": base + concept.id if base != BASE else ""})
            for concept in FULL.concepts
        ),
        terms=FULL.terms,
    )
    assert found.vocabulary == vocabulary
    assert (found.refused, found.notes) == ({}, ())
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
    again = import_skos(text, format)
    assert (again.vocabulary, again.refused, again.notes) == (placeless, {}, ())
    graph = Graph().parse(data=text, format=format)
    assert len(set(graph.subjects(RDF.type, SKOS.Concept))) == len(vocabulary.concepts) >= 50
