from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.errors import Problem
from fightnotes.model import Concept, Term, Vocabulary
from fightnotes.reading.vocabulary_file import read_vocabulary

FILE = "vocabulary.yaml"


def read(text: str) -> tuple[Vocabulary, tuple[Problem, ...]]:
    return read_vocabulary(text, FILE)


def test_everything_that_a_concept_and_a_term_may_say() -> None:
    vocabulary, problems = read(
        """\
concepts:
  - {id: footwork, label: footwork}
  - {id: inside-step, label: inside step, broader: footwork}
  - id: outside-step
    label: outside step
    also: [outside foot position]
    misheard:
      - out side step
    broader: footwork
    related: [inside-step]
    definition: >
      The lead foot is placed
      outside.
    scope: "Open stances: only."
    pairing: open
terms:
  - {say: southpaw, misheard: [south paw, south poor]}
"""
    )
    assert problems == ()
    assert vocabulary.concepts[2] == Concept(
        id="outside-step",
        label="outside step",
        also=("outside foot position",),
        misheard=("out side step",),
        broader=("footwork",),
        related=("inside-step",),
        definition="The lead foot is placed outside.",
        scope="Open stances: only.",
        pairing="open",
        line=4,
    )
    assert vocabulary.terms == (Term(say="southpaw", misheard=("south paw", "south poor")),)


def test_broader_may_be_one_id_or_several() -> None:
    vocabulary, problems = read(
        "concepts:\n- {id: a, label: a one}\n- {id: b, label: b one}\n- {id: c, label: c one, broader: [a, b]}\n"
    )
    assert problems == ()
    assert vocabulary.by_id["c"].broader == ("a", "b")


@pytest.mark.parametrize(
    "text", ["", "# nothing yet\n", "concepts:\n", "concepts: []\nterms: []\n", "\ufeffconcepts: []\n"]
)
def test_an_empty_vocabulary_is_no_fault(text: str) -> None:
    assert read(text) == (Vocabulary(), ())


@pytest.mark.parametrize(
    ("concept", "line", "column", "found"),
    [
        ("{label: hook}", 3, 5, "no id"),
        ("{id: 2-step, label: two step}", 3, 10, "'2-step'"),
        ("{id: a_b, label: a b}", 3, 10, "'a_b'"),
        ("{id: a-, label: a b}", 3, 10, "'a-'"),
        ("{id: hook}", 3, 5, "no label"),
        ("{id: hook, label: hook, pairing: closd}", 3, 38, "'closd'"),
        ("{id: hook, label: hook, colour: red}", 3, 29, "'colour'"),
        ("{id: hook, label: hook, also: [x, x]}", 3, 39, "'x'"),
        ("hook", 3, 5, "'hook'"),
        ("{id: hook, label: hook, also: {a: b}}", 3, 35, "a mapping"),
    ],
)
def test_a_bad_concept_is_reported_at_its_place_and_the_rest_is_read(
    concept: str, line: int, column: int, found: str
) -> None:
    around = ("concepts:\n  - {id: jab, label: jab}\n", "  - {id: slip, label: slip}\n")
    vocabulary, problems = read(f"{around[0]}  - {concept}\n{around[1]}")
    assert {"jab", "slip"} <= set(vocabulary.by_id)
    assert [(p.file, p.line, p.column, p.found) for p in problems] == [(FILE, line, column, found)]


def test_a_concept_without_a_label_takes_the_words_of_its_id() -> None:
    vocabulary, _ = read("concepts:\n  - {id: check-hook}\n")
    assert vocabulary.by_id["check-hook"].label == "check hook"


def test_broken_yaml_is_reported_with_its_line() -> None:
    vocabulary, problems = read("concepts:\n  - {id: jab, label: jab\n  - {id: slip}\n")
    assert vocabulary == Vocabulary()
    assert len(problems) == 1
    assert problems[0].line in (2, 3)


@pytest.mark.parametrize(
    ("concepts", "line", "column", "names"),
    [
        ("- {id: a, label: x, misheard: [X]}", 2, 34, ("S13", "preferred", "hidden", "a")),
        ("- {id: a, label: x, label: y}", 2, 23, ("S14", "'y'")),
        ("- {id: a, label: [x, y]}", 2, 24, ("S14", "'y'")),
        ("- {id: a, label: x, related: b}\n- {id: b, label: y, broader: a}", 2, 32, ("S27", "a", "b", "below")),
        ("- {id: a, label: x}\n- {id: b, label: y, also: [x]}", 3, 30, ("shared label", "'x'", "a (line 2)", "b")),
        ("- {id: a, label: x, broader: b}\n- {id: b, label: y, broader: a}", 2, 32, ("cycle", "a is below b")),
        ("- {id: a, label: x, broader: gone}", 2, 32, ("no such concept", "'gone'")),
        ("- {id: a, label: x}\n- {id: A, label: y}", 3, 10, ("same id", "line 2")),
    ],
)
def test_a_breach_names_its_condition_at_the_value_that_breaks_it(
    concepts: str, line: int, column: int, names: tuple[str, ...]
) -> None:
    vocabulary, problems = read("concepts:\n" + "".join(f"  {each}\n" for each in concepts.split("\n")))
    assert [(p.line, p.column) for p in problems] == [(line, column)]
    assert all(name in problems[0].found for name in names), problems[0].found
    assert vocabulary.concepts


def test_of_two_concepts_with_one_id_the_first_is_kept() -> None:
    vocabulary, problems = read("concepts:\n- {id: a, label: x}\n- {id: a, label: y}\n")
    assert [concept.label for concept in vocabulary.concepts] == ["x"]
    assert len(problems) == 1


@given(st.text(max_size=200))
def test_no_text_makes_the_reader_fall_over(text: str) -> None:
    vocabulary, problems = read("concepts:\n- {id: jab, label: jab}\n" + text)
    assert isinstance(vocabulary, Vocabulary)
    assert all(problem.file == FILE for problem in problems)


def test_what_others_say_of_a_concept() -> None:
    vocabulary, problems = read(
        "concepts:\n- id: jab\n  label: jab\n  notation: [b, 12, b^^urn:x]\n  match:\n  - exact https://example.org/é\n"
        "  - broad  urn:y\n  - like urn:y\n  - exact y\n  address: https://example.org/jab\n"
        "- {id: hook, label: hook, address: no address}\n- {id: duck, label: duck, address: https://example.org/jab}\n"
    )
    jab, hook, _ = vocabulary.concepts
    assert jab.notation == ("12", "b", "b^^urn:x")
    assert jab.match == ("broad urn:y", "exact https://example.org/é")
    assert (jab.address, hook.address) == ("https://example.org/jab", "")
    assert [(problem.line, problem.column, problem.found) for problem in problems] == [
        (8, 5, "'like urn:y'"),
        (9, 5, "'exact y'"),
        (11, 36, "'no address'"),
        (12, 36, "shared address: https://example.org/jab is that of both jab (line 2) and duck"),
    ]
