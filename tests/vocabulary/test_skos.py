from __future__ import annotations

import json
import socket

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from rdflib import SKOS, Graph, Literal, URIRef

from fightnotes.editing.line_edit import edited
from fightnotes.editing.vocabulary_text import sections
from fightnotes.errors import UnreadableFile, UsageError
from fightnotes.model import MATCH_KINDS, Concept, Term, Vocabulary, fold
from fightnotes.reading.vocabulary_file import read_vocabulary
from fightnotes.vocabulary.edits import LibraryText
from fightnotes.vocabulary.imported import plan_import
from fightnotes.vocabulary.skos import export_skos
from fightnotes.vocabulary.skos_file import import_skos
from fightnotes.vocabulary.skos_read import Imported, vocabulary_of
from tests.whole_vocabulary import vocabulary_to_yaml

PREFIXES = (
    "@prefix skos: <http://www.w3.org/2004/02/skos/core#> . @prefix : <http://example.org/t/> .\n"
    "@prefix own: <urn:fightnotes:skos#> .\n"
)
HOOK = ':hook a skos:Concept ; skos:prefLabel "hook"@en'

labels = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=8).map(str.strip).filter(fold)
several = st.lists(labels, max_size=4, unique=True).map(tuple)
ids = st.sampled_from(["jab", "cross", "lead-hook", "slip", "été"])
addresses = st.sampled_from(["", "https://example.org/a#", "urn:house:12:"])
codes = st.lists(st.sampled_from(["12", "12.3^^urn:udc", "é 1", "a^^b"]), unique=True).map(sorted).map(tuple)
kinds = st.lists(st.sampled_from(MATCH_KINDS), max_size=3)


@st.composite
def vocabularies(draw: st.DrawFn) -> Vocabulary:
    """Sound ones: a label stands once, what is broader comes earlier, what is related is apart from it."""
    names = draw(st.lists(ids, max_size=5, unique=True))
    words = iter(draw(st.lists(labels, min_size=25, max_size=25, unique_by=fold)))
    free = (word for word in words if fold(word) not in set(map(fold, names)))
    concepts: list[Concept] = []
    for place, name in enumerate(names):
        broader = draw(st.lists(st.sampled_from(names[:place]), max_size=3, unique=True)) if place else []
        address = draw(addresses)
        concepts.append(
            Concept(
                id=name,
                label=next(free),
                also=tuple(next(free) for _ in range(draw(st.integers(0, 2)))),
                misheard=tuple(next(free) for _ in range(draw(st.integers(0, 1)))),
                broader=tuple(broader),
                definition=draw(st.one_of(st.just(""), labels)),
                scope=draw(st.one_of(st.just(""), labels)),
                pairing=draw(st.sampled_from([None, "open", "closed"])),
                notation=draw(codes),
                match=tuple(sorted(f"{kind} urn:{name}:{place}" for place, kind in enumerate(draw(kinds)))),
                address=address and f"{address}{place}",
            )
        )
    vocabulary = Vocabulary(concepts=tuple(concepts))
    apart = [
        tuple(other for other in draw(st.permutations(names)) if not _one_line(vocabulary, name, other))
        for name in names
    ]
    return Vocabulary(
        concepts=tuple(
            concept.model_copy(update={"related": related if draw(st.booleans()) else ()})
            for concept, related in zip(concepts, apart, strict=True)
        ),
        terms=tuple(
            Term(say=say, misheard=draw(several)) for say in draw(st.lists(labels, max_size=3, unique_by=fold))
        ),
    )


def _one_line(vocabulary: Vocabulary, one: str, other: str) -> bool:
    return one in vocabulary.with_broader(other) or other in vocabulary.with_broader(one)


@settings(max_examples=60, deadline=None)
@given(vocabularies(), st.sampled_from(["turtle", "json-ld"]))
def test_any_sound_vocabulary_goes_out_and_in_with_every_order_kept(vocabulary: Vocabulary, format: str) -> None:
    again = import_skos(export_skos(vocabulary, format), format)
    assert again.vocabulary == vocabulary
    assert (again.refused, again.notes) == ({}, ())


@settings(max_examples=60, deadline=None)
@given(vocabularies())
def test_any_sound_vocabulary_stands_in_the_file_as_it_came(vocabulary: Vocabulary) -> None:
    assume(vocabulary.concepts or vocabulary.terms)
    imported = Imported(vocabulary, {}, ())
    plan = plan_import(LibraryText(Vocabulary(), "", (), {}), imported)
    again, problems = read_vocabulary(edited("vocabulary.yaml", "", plan.edits), "vocabulary.yaml")
    assert (problems, plan.refused) == ((), ())
    assert sections(again) == sections(vocabulary)


def test_a_word_that_came_in_twice_keeps_what_both_say_of_it() -> None:
    came = Vocabulary(
        terms=(Term(say="Southpaw", misheard=("south paw",)), Term(say="southpaw", misheard=("sow paw",)))
    )
    plan = plan_import(LibraryText(Vocabulary(), "", (), {}), Imported(came, {}, ()))
    again, _ = read_vocabulary(edited("vocabulary.yaml", "", plan.edits), "vocabulary.yaml")
    assert again.terms == (Term(say="Southpaw", misheard=("south paw", "sow paw")),)


ODD = st.sampled_from(
    [" a ", "\x85b", "\u2028c", "x\x00y", "\ufeffz", "null", "- a", "#", "a: b", "\ufffe", "1^^urn:x", "\n"]
)
texts = st.text(st.characters(exclude_categories=("Cs",)), max_size=5) | ODD
addressed = st.builds(URIRef, st.builds("http://x/{}".format, texts | st.sampled_from("ab")))
literals = st.builds(Literal, texts, lang=st.sampled_from([None, "en", "en-GB", "de"]))
labelling = st.sampled_from(
    [SKOS.prefLabel, SKOS.altLabel, SKOS.hiddenLabel, SKOS.definition, SKOS.scopeNote, SKOS.notation]
)
linking = st.sampled_from(
    [SKOS.broader, SKOS.related, SKOS.narrower, SKOS.exactMatch, SKOS.broadMatch, SKOS.member, SKOS.inScheme]
)
statements = st.tuples(addressed, labelling, literals) | st.tuples(addressed, linking, addressed | literals)
STANDING = "concepts:\n- {id: a, label: a, related: [b]}\n- {id: b, label: bee, also: [c]}\n"


@settings(max_examples=150, deadline=None)
@given(st.lists(statements, max_size=14), st.booleans(), st.sampled_from(["", STANDING]))
def test_whatever_a_graph_says_the_file_stays_sound(
    said: list[tuple[URIRef, URIRef, Literal | URIRef]], whole: bool, standing: str
) -> None:
    graph = Graph(bind_namespaces="none")
    for statement in said:
        graph.add(statement)
    before, _ = read_vocabulary(standing, "vocabulary.yaml")
    plan = plan_import(LibraryText(before, standing, (), {}), vocabulary_of(graph, "en"), whole)
    after, problems = read_vocabulary(edited("vocabulary.yaml", standing, plan.edits), "vocabulary.yaml")
    assert problems == ()
    assert import_skos(export_skos(after, "turtle"), "turtle").refused == {}


def read(turtle: str, language: str = "en") -> tuple[Vocabulary, tuple[str, ...]]:
    """What is taken, and what is said of it and of what is not."""
    imported = import_skos(PREFIXES + turtle, "turtle", language)
    refused = [f"{name}: {'; '.join(reasons)}" for name, reasons in imported.refused.items()]
    return imported.vocabulary, (*refused, *imported.notes)


def hook(**more: object) -> Concept:
    return Concept.model_validate({"id": "hook", "label": "hook", "address": "http://example.org/t/hook", **more})


def test_several_languages_one_is_kept_and_the_others_are_counted() -> None:
    turtle = f'{HOOK}, "Haken"@de ; skos:altLabel "crochet"@fr, "turned blow"@en ; skos:definition "Krumm."@de .'
    vocabulary, notes = read(turtle)
    assert vocabulary.concepts == (hook(also=("turned blow",)),)
    assert notes == (
        "left out: 2 texts in de, as en was asked for",
        "left out: 1 text in fr, as en was asked for",
    )
    german, _ = read(turtle, "de")
    assert german.concepts == (hook(label="Haken", definition="Krumm."),)


RANGES = [  # RFC 4647, section 3.3.1: its own pairs of tag and range, then ours
    ("de-de", "de-DE-1996", True), ("de-de", "de-Deva", False), ("de-de", "de-Latn-DE", False),
    ("*", "qaa", True), ("en", "en-GB", True), ("en", "enm", False), ("EN", "en", True), ("en-GB", "en", False),
]  # fmt: skip


@pytest.mark.parametrize(("language", "tag", "taken"), RANGES)
def test_a_language_is_a_basic_range(language: str, tag: str, taken: bool) -> None:
    concept = f'{HOOK[:-3]}@{tag}, "ho"@x-other ; skos:hiddenLabel "huck"@{tag} ; skos:scopeNote "note"@{tag} .'
    vocabulary, notes = read(concept.replace(', "ho"@x-other', "" if language == "*" else ', "ho"@x-other'), language)
    assert (vocabulary.by_id["hook"].misheard == ("huck",)) is (taken or _only_other(vocabulary))
    assert any("preferred label in" in note for note in notes) is not taken


def _only_other(vocabulary: Vocabulary) -> bool:
    return vocabulary.by_id["hook"].label == "hook"


def test_what_is_no_language_is_wrong_usage() -> None:
    with pytest.raises(UsageError, match="en_GB"):
        import_skos(PREFIXES, "turtle", "en_GB")
    with pytest.raises(UsageError, match="en_GB"):
        export_skos(Vocabulary(), "turtle", language="en_GB")


def test_where_the_language_is_missing_the_one_taken_instead_is_named() -> None:
    vocabulary, notes = read(
        ':hook skos:prefLabel "crochet"@fr, "Haken"@de ; skos:altLabel "Bogen"@de, "arc"@fr ;'
        ' skos:definition "Bent."@en .'
        ':jab skos:prefLabel "Gerade"@de .'
    )
    assert vocabulary.by_id["hook"] == hook(label="Haken", also=("Bogen",), definition="Bent.")
    assert "no preferred label in en, so de is taken instead: hook, jab" in notes
    assert "left out: 2 texts in fr, as en was asked for" in notes


def test_an_export_bears_the_language_that_it_is_given() -> None:
    text = export_skos(Vocabulary(concepts=(Concept(id="haken", label="Haken"),)), "turtle", language="de")
    assert import_skos(text, "turtle", "de").notes == ()
    assert "de is taken instead" in "".join(import_skos(text, "turtle", "en").notes)


def test_regional_preferred_labels_are_kept_as_alternative_ones() -> None:
    vocabulary, notes = read(':c skos:prefLabel "color"@en, "color"@en-US, "colour"@en-GB .')
    assert (vocabulary.by_id["c"].label, vocabulary.by_id["c"].also) == ("color", ("colour",))
    assert any("'colour'" in note for note in notes)


def test_what_the_file_has_no_place_for_is_named_concept_by_concept() -> None:
    _, notes = read(
        f"{HOOK}, 5 ; a :Strike ; own:pairing 'open' ; :made-by <http://example.org/me> ; skos:notation 'N'@en ;"
        " skos:definition :page ; skos:exactMatch 'no address' ; skos:related :group ."
        " :group a skos:Collection . <http://example.org/me> :name 'me' . :jab skos:prefLabel 'jab' ; :made-by :x ."
    )
    assert notes == (
        "hook: left out: <http://example.org/t/made-by> <http://example.org/me>;"
        " rdf:type <http://example.org/t/Strike>; skos:definition <http://example.org/t/page>;"
        " skos:exactMatch 'no address'; skos:notation 'N'@en;"
        " skos:prefLabel '5'^^<http://www.w3.org/2001/XMLSchema#integer>; skos:related <http://example.org/t/group>",
        "jab: left out: <http://example.org/t/made-by> <http://example.org/t/x>",
        "left out: the collection <http://example.org/t/group>, of no concept",
        "left out: 1 statement about what is no concept, <http://example.org/me>",
    )


def test_one_bad_concept_is_named_and_the_others_are_taken() -> None:
    vocabulary, notes = read(
        f'{HOOK} ; skos:broader :none, <http://example.org/t/a b> . :two skos:prefLabel "a"@en, "b"@en .'
        '<http://example.org/t/a b> skos:prefLabel "spaced"@en . :blank skos:prefLabel "  "@en .'
        ':xl <http://www.w3.org/2008/05/skos-xl#prefLabel> [] ; skos:altLabel "xl"@en .'
    )
    assert [concept.id for concept in vocabulary.concepts] == ["hook"]
    assert notes == (
        "spaced <http://example.org/t/a b>: a broken address",
        "blank <http://example.org/t/blank>: no preferred label",
        "none <http://example.org/t/none>: no preferred label",
        "two <http://example.org/t/two>: S14: two has 2 preferred labels in en: 'a', 'b'",
        "xl <http://example.org/t/xl>: no preferred label (SKOS-XL labels are not read)",
    )


def test_an_address_that_the_file_gives_no_base_for_is_not_kept() -> None:
    vocabulary, notes = read('<jab> skos:prefLabel "jab"@en .')
    assert vocabulary.concepts == (Concept(id="jab", label="jab"),)
    assert notes == ("jab: left out: its address <jab>, which the file gives no base for",)


def test_a_label_that_differs_in_case_alone_is_left_out_with_a_word() -> None:
    vocabulary, notes = read(f'{HOOK} ; skos:altLabel "Hook"@en, "bent arm"@en ; skos:hiddenLabel "BENT-arm"@en .')
    assert vocabulary.concepts == (hook(also=("bent arm",)),)
    assert [note.split(",")[0] for note in notes] == ["hook: left out: 'Hook'", "hook: left out: 'BENT-arm'"]


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
    assert import_skos(grown, "turtle").vocabulary.by_id["jab"].also == ("z", "b", "a")


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
        ("[" * 100_000, "json-ld", "too deep"),
        (PREFIXES + ":a skos:broader " + "[ skos:broader " * 5_000, "turtle", "too deep"),
    ],
)
def test_what_cannot_be_read_is_told(text: str, format: str, message: str) -> None:
    with pytest.raises(UnreadableFile, match=message):
        import_skos(text, format)


def test_nothing_is_fetched(monkeypatch: pytest.MonkeyPatch) -> None:
    def no_network(*_: object) -> None:
        raise AssertionError("the network was asked")

    monkeypatch.setattr(socket, "getaddrinfo", no_network)
    monkeypatch.setattr(socket.socket, "connect", no_network)
    far = "<http://www.w3.org/2002/07/owl#imports> <http://example.org/more.ttl>"
    vocabulary, _ = read(f"{HOOK} ; skos:exactMatch <http://example.org/other.ttl> . :scheme {far} .")
    assert len(vocabulary.concepts) == 1
    inside = {"@context": {"skos": "http://www.w3.org/2004/02/skos/core#"}, "@id": "http://example.org/t/hook"}
    text = json.dumps({**inside, "skos:prefLabel": "hook", "skos:exactMatch": {"@id": "http://example.org/o.jsonld"}})
    assert import_skos(text, "json-ld").vocabulary.concepts == (hook(match=("exact http://example.org/o.jsonld",)),)


def test_a_list_that_bites_its_tail_ends() -> None:
    vocabulary, _ = read(
        "@prefix rdf: <http://www.w3.org/1999/02/22-rdf-syntax-ns#> ."
        f'{HOOK} ; skos:altLabel "b"@en ; own:alsoInOrder _:l . _:l rdf:first "b"@en ; rdf:rest _:l .'
    )
    assert vocabulary.by_id["hook"].also == ("b",)
