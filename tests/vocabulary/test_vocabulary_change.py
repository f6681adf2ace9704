from __future__ import annotations

import pytest

from fightnotes.errors import UnknownName, UsageError
from fightnotes.model import Concept, Vocabulary
from fightnotes.model.conditions import breaches
from fightnotes.vocabulary import changed as change


def concept(id: str, **fields: object) -> Concept:
    return Concept.model_validate({"id": id, "label": f"the {id}", **fields})


VOCABULARY = Vocabulary(
    concepts=(
        concept("step"),
        concept("outside-step", broader=("step",), also=("lead foot outside",), related=("cross",)),
        concept("inside-step", broader=("step",), misheard=("in side step",)),
        concept("punch"),
        concept("jab", broader=("punch",), related=("slip",)),
        concept("cross", broader=("punch",)),
        concept("slip"),
    )
)


def ids(vocabulary: Vocabulary) -> list[str]:
    return [concept.id for concept in vocabulary.concepts]


def test_a_new_concept_stands_behind_the_last_narrower_one_of_its_broader() -> None:
    result = change.with_concept(VOCABULARY, concept("half-step", broader=("step",)))
    assert ids(result)[:5] == ["step", "outside-step", "inside-step", "half-step", "punch"]
    assert ids(change.with_concept(VOCABULARY, concept("clinch")))[-1] == "clinch"
    deeper = change.with_concept(result, concept("quarter-step", broader=("half-step",)))
    again = change.with_concept(deeper, concept("back-step", broader=("step",)))
    assert ids(again)[3:6] == ["half-step", "quarter-step", "back-step"]


@pytest.mark.parametrize(
    ("new", "message"),
    [
        (concept("jab"), "same id"),
        (concept("hop", broader=("gone",)), "no such concept"),
        (concept("hop", also=("lead foot outside",)), "shared label"),
        (concept("hop", misheard=("the hop",)), "S13"),
        (concept("hop", broader=("jab",), related=("punch",)), "S27"),
    ],
)
def test_what_would_break_a_condition_is_refused_by_its_name(new: Concept, message: str) -> None:
    with pytest.raises(UsageError, match=message):
        change.with_concept(VOCABULARY, new)


def test_a_breach_that_was_there_before_stops_nothing() -> None:
    broken = Vocabulary(concepts=(*VOCABULARY.concepts, concept("lost", broader=("gone",))))
    assert ids(change.with_concept(broken, concept("clinch")))[-1] == "clinch"


def test_labels_are_added_behind() -> None:
    result = change.with_labels(VOCABULARY, "outside-step", also=["outer foot"], misheard=["out side"])
    assert result.by_id["outside-step"].also == ("lead foot outside", "outer foot")
    assert result.by_id["outside-step"].misheard == ("out side",)
    with pytest.raises(UsageError, match="shared label: 'the jab' names both"):
        change.with_labels(VOCABULARY, "cross", also=["the jab"])


def test_an_unknown_id_offers_the_nearest() -> None:
    with pytest.raises(UnknownName, match="nearest is outside-step"):
        change.with_labels(VOCABULARY, "outsid-step")


def test_a_merge_takes_labels_and_links_along() -> None:
    result = change.merged(VOCABULARY, "outside-step", "inside-step")
    kept = result.by_id["inside-step"]
    assert "outside-step" not in result.by_id
    assert kept.also == ("the outside-step", "lead foot outside", "outside step")
    assert (kept.broader, kept.related, kept.misheard) == (("step",), ("cross",), ("in side step",))
    assert change.merged(VOCABULARY, "slip", "cross").by_id["jab"].related == ("cross",)
    assert change.merged(VOCABULARY, "punch", "step").by_id["cross"].broader == ("step",)


def test_a_merge_of_parent_and_child_leaves_no_cycle_and_no_clash() -> None:
    up = change.merged(VOCABULARY, "jab", "punch")
    assert (up.by_id["punch"].broader, up.by_id["cross"].broader) == ((), ("punch",))
    down = change.merged(VOCABULARY, "punch", "jab")
    assert (down.by_id["jab"].broader, down.by_id["cross"].broader) == ((), ("jab",))
    clash = change.merged(VOCABULARY, "slip", "punch")
    assert clash.by_id["jab"].related == ()
    assert not breaches(clash)


def test_a_merge_takes_a_definition_only_where_there_is_none() -> None:
    two = Vocabulary(concepts=(concept("a", definition="one"), concept("b"), concept("c", definition="three")))
    assert change.merged(two, "a", "b").by_id["b"].definition == "one"
    assert change.merged(two, "a", "c").by_id["c"].definition == "three"
    with pytest.raises(UsageError, match="into itself"):
        change.merged(two, "a", "a")


def test_a_rename_keeps_the_old_words() -> None:
    result = change.renamed(VOCABULARY, "punch", "blow", "a blow", keep=True)
    assert ids(result)[3] == "blow"
    assert (result.by_id["blow"].label, result.by_id["blow"].also) == ("a blow", ("the punch", "punch"))
    assert result.by_id["jab"].broader == ("blow",)
    bare = change.renamed(VOCABULARY, "punch", "blow", "a blow", keep=False)
    assert bare.by_id["blow"].also == ()
    swapped = change.renamed(VOCABULARY, "outside-step", None, "lead foot outside", keep=True)
    assert swapped.by_id["outside-step"].also == ("the outside-step", "outside step")
    with pytest.raises(UsageError, match="same id"):
        change.renamed(VOCABULARY, "punch", "slip", None, keep=True)


def test_what_is_below_a_retired_concept_goes_up() -> None:
    chain = (concept("a"), concept("b", broader=("a",)), concept("c", broader=("b",)))
    result = change.retired(Vocabulary(concepts=(*chain, concept("d", related=("b",)))), "b")
    assert (result.by_id["c"].broader, result.by_id["d"].related) == (("a",), ())


def test_a_part_takes_the_labels_that_it_names() -> None:
    parts = [concept("outside-pivot", also=("lead foot outside",)), concept("long-step", broader=("step",))]
    result = change.split(VOCABULARY, "outside-step", parts)
    assert ids(result)[1:5] == ["outside-step", "outside-pivot", "inside-step", "long-step"]
    assert result.by_id["outside-step"].also == ()
    assert result.by_id["outside-pivot"].broader == ("outside-step",)
    assert result.by_id["long-step"].broader == ("step",)
