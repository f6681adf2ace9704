from __future__ import annotations

import pytest

from fightnotes.model import Concept, Vocabulary
from fightnotes.model.conditions import RULES, breaches


def concept(id: str, **fields: object) -> Concept:
    return Concept.model_validate({"id": id, "label": f"the {id}", **fields})


def found(*concepts: Concept) -> list[tuple[str, str, str | None]]:
    return [(breach.condition, breach.concept, breach.other) for breach in breaches(Vocabulary(concepts=concepts))]


def test_a_sound_vocabulary_has_no_breach() -> None:
    assert not found(
        concept("step", related=("hook",)),
        concept("hook"),
        concept("check-hook", broader=("hook", "step"), also=("turning hook",), misheard=("czech hook",)),
    )


@pytest.mark.parametrize(
    ("fields", "roles"),
    [
        ({"also": ("the a",)}, ("preferred", "alternative")),
        ({"misheard": ("the a",)}, ("preferred", "hidden")),
        ({"also": ("x",), "misheard": ("x",)}, ("alternative", "hidden")),
        ({"also": ("THE-Á",)}, ("preferred", "alternative")),
    ],
)
def test_s13_a_label_has_one_role(fields: dict[str, tuple[str, ...]], roles: tuple[str, str]) -> None:
    (breach,) = breaches(Vocabulary(concepts=(concept("a", **fields),)))
    assert breach.condition == "S13"
    assert all(role in breach.message for role in roles)


def test_an_id_that_is_written_as_the_label_is_no_second_role() -> None:
    assert not found(Concept(id="check-hook", label="check hook"))


@pytest.mark.parametrize("depth", [1, 2, 5])
@pytest.mark.parametrize("from_above", [True, False])
def test_s27_related_is_apart_from_broader_at_any_depth(depth: int, from_above: bool) -> None:
    chain = [concept(f"c{n}", broader=(f"c{n + 1}",) if n < depth else ()) for n in range(depth + 1)]
    at, to = (depth, "c0") if from_above else (0, f"c{depth}")
    chain[at] = chain[at].model_copy(update={"related": (to,)})
    assert found(*chain) == [("S27", f"c{at}", to)]


def test_siblings_may_be_related() -> None:
    assert not found(concept("top"), concept("a", broader=("top",), related=("b",)), concept("b", broader=("top",)))


def test_a_concept_related_to_itself() -> None:
    assert found(concept("a", related=("a",))) == [("related to itself", "a", "a")]


@pytest.mark.parametrize("length", [1, 2, 3, 7])
def test_a_cycle_is_told_once_with_its_whole_way(length: int) -> None:
    ring = [concept(f"c{n}", broader=(f"c{(n + 1) % length}",)) for n in range(length)]
    (breach,) = breaches(Vocabulary(concepts=(concept("below", broader=("c0",)), *ring)))
    assert (breach.condition, breach.concept) == ("cycle", "c0")
    assert all(f"c{n}" in breach.message for n in range(length))


def test_two_ways_up_to_one_concept_are_no_cycle() -> None:
    assert not found(
        concept("top"),
        concept("left", broader=("top",)),
        concept("right", broader=("top",)),
        concept("low", broader=("left", "right")),
    )


def test_a_shared_label_names_both_concepts() -> None:
    (breach,) = breaches(
        Vocabulary(concepts=(concept("a", also=("tie-up",), line=3), concept("b", misheard=("Tie up",), line=9)))
    )
    assert (breach.condition, breach.concept, breach.other, breach.line) == ("shared label", "b", "a", 9)
    assert "'Tie up' names both a (line 3) and b" in breach.message


def test_a_label_that_is_another_concepts_id_is_shared() -> None:
    assert found(concept("slip"), concept("duck", also=("slip",))) == [("shared label", "duck", "slip")]


@pytest.mark.parametrize("link", ["broader", "related"])
def test_a_link_to_nothing(link: str) -> None:
    assert found(concept("a", **{link: ("gone",)})) == [("no such concept", "a", "gone")]


def test_each_id_once() -> None:
    assert ("same id", "A", "a") in found(concept("a"), Concept(id="A", label="other"))


def test_a_foreign_concept_is_not_matched_in_two_ways_that_clash() -> None:
    assert found(concept("a", match=("broad urn:x", "close urn:x", "exact urn:y", "narrow urn:z"))) == []
    assert found(concept("a", match=("exact urn:x", "related urn:x"))) == [("S46", "a", None)]
    assert found(concept("a", match=("broad urn:x", "related urn:x"))) == [("S27", "a", None)]


def test_a_long_cycle_is_told_in_short() -> None:
    ring = [concept(f"c{n}", broader=(f"c{(n + 1) % 50}",)) for n in range(50)]
    (breach,) = breaches(Vocabulary(concepts=tuple(ring)))
    assert breach.message.endswith("is below c9 is below ... (50 concepts) is below c0")


def test_each_message_begins_with_its_condition() -> None:
    many = Vocabulary(
        concepts=(
            concept("a", also=("the a",), broader=("b",), related=("b",)),
            concept("b", broader=("a",), also=("x",)),
            concept("c", also=("x",), related=("gone", "c")),
            concept("c"),
            concept("d", address="urn:x:d", match=("broad urn:x:e", "exact urn:x:e")),
            concept("e", address="urn:x:d"),
        )
    )
    seen = breaches(many)
    assert {breach.condition for breach in seen} == set(RULES) - {"S14"}
    assert all(breach.message.startswith(f"{breach.condition}: ") for breach in seen)
