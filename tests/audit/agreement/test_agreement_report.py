from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from fightnotes.audit.agreement import Agreement, AgreementReport, Comparison, agreement, interval
from fightnotes.errors import UnknownName
from fightnotes.model import Bout, Concept, Segment, Vocabulary

Note = Callable[..., Segment]

NAMES = ("ardal-venn-2030", *(f"ardal-venn-{year}" for year in range(2031, 2038)))
BOUTS = {name: Bout(id=name, file="bouts/mk.md", title="Ardal v Venn") for name in NAMES}
VOCABULARY = Vocabulary(
    concepts=(
        Concept(id="footwork", label="footwork"),
        Concept(id="outside-step", label="outside step", broader=("footwork",)),
        Concept(id="pivot", label="pivot", broader=("footwork",)),
        Concept(id="jab", label="jab"),
    )
)


def report(segments: list[Segment]) -> AgreementReport:
    return agreement(segments, BOUTS, VOCABULARY)


def only(found: AgreementReport) -> Comparison:
    (comparison,) = found.comparisons
    return comparison


def two_annotations(
    note: Note, tags: list[tuple[str, str]], analyst: str = "jr", file: str = "bouts/jr.md"
) -> list[Segment]:
    """Moments 20 s apart, each noted by mk and by another (or mk again, in another file), with the tags of each."""
    return [note("mk", 20 * number, first) for number, (first, _) in enumerate(tags)] + [
        note(analyst, 20 * number, other, file=file) for number, (_, other) in enumerate(tags)
    ]


def over_bouts(note: Note, tags: list[tuple[str, str]], bouts: int) -> list[Segment]:
    """The same moments, dealt out to bouts in turn."""
    dealt = zip(two_annotations(note, tags), [*range(len(tags))] * 2, strict=True)
    return [one.model_copy(update={"bout": NAMES[number % bouts]}) for one, number in dealt]


def test_full_agreement(note: Note) -> None:
    found = report(two_annotations(note, [("jab", "jab"), ("pivot", "pivot")] * 10))
    comparison = only(found)
    assert (comparison.first, comparison.second, comparison.pairs) == ("jr", "mk", 20)
    for measure in (comparison.alpha_nominal, comparison.alpha_masi, comparison.boundaries):
        assert (measure.value, measure.low, measure.high, measure.count) == (1, None, None, 20)
        assert measure.reason == "no interval from 1 bout: 8 are needed"
    assert {concept.concept: concept.agreement.value for concept in comparison.concepts} == {"jab": 1, "pivot": 1}
    assert comparison.disagreements == comparison.confusions == comparison.first_alone == ()
    assert found.overall is not None
    assert found.overall.alpha_masi.value == 1


def test_kappa_of_a_concept_by_hand(note: Note) -> None:
    # Both 6, mk alone 2, jr alone 4, neither 8: observed 14/20, by chance (8*10 + 12*10)/400, so 0.2/0.5.
    tags = [("jab", "jab")] * 6 + [("jab", "pivot")] * 2 + [("pivot", "jab")] * 4 + [("pivot", "pivot")] * 8
    jab = only(report(over_bouts(note, tags, 8))).concepts[0]
    assert (jab.concept, jab.label, jab.both, jab.some) == ("jab", "jab", 6, 6)
    assert jab.agreement.value == pytest.approx(0.4)
    assert jab.agreement.low is not None
    assert jab.agreement.high is not None
    assert jab.agreement.low < 0.4 < jab.agreement.high


@pytest.mark.parametrize("bouts", [7, 8])
def test_an_interval_needs_eight_bouts(note: Note, bouts: int) -> None:
    tags = [("jab", "jab"), ("jab", "pivot"), ("pivot", "pivot")] * 8
    measure = only(report(over_bouts(note, tags, bouts))).alpha_nominal
    assert measure.value is not None
    assert (measure.low is not None) == (bouts == 8)
    assert measure.reason == (None if bouts == 8 else "no interval from 7 bouts: 8 are needed")


def test_a_concept_needs_ten_uses(note: Note) -> None:
    tags = [("jab", "jab")] * 12 + [("pivot", "pivot")] * 6 + [("pivot", "")] * 3
    assert only(report(two_annotations(note, tags))).concepts[1].agreement == Agreement(
        count=21, reason="too few uses: 9, and 10 are needed"
    )
    once_more = only(report(two_annotations(note, [*tags, ("", "pivot")]))).concepts[1]
    assert once_more.agreement.value is not None


def test_too_few_pairs_give_a_reason_and_no_number(note: Note) -> None:
    comparison = only(report(two_annotations(note, [("jab", "jab"), ("pivot", "jab")] * 4)))
    assert comparison.alpha_masi == Agreement(count=8, reason="too few pairs: 8, and 10 are needed")
    assert comparison.concepts[0].agreement.value is None
    assert len(comparison.disagreements) == 4


def test_ten_pairs_are_enough(note: Note) -> None:
    measure = only(report(two_annotations(note, [("jab", "jab"), ("pivot", "jab")] * 5))).alpha_nominal
    assert measure.value is not None
    assert measure.count == 10


def test_no_variation_gives_a_reason_and_no_number(note: Note) -> None:
    comparison = only(report(two_annotations(note, [("jab", "jab")] * 12)))
    assert comparison.alpha_nominal == Agreement(count=12, reason="no variation over 12 pairs")
    assert comparison.concepts[0].agreement == Agreement(count=12, reason="no variation over 12 pairs")


def test_a_concept_used_once_gives_a_reason_and_no_number(note: Note) -> None:
    comparison = only(report(two_annotations(note, [("jab", "jab")] * 12 + [("jab pivot", "jab")])))
    pivot = comparison.concepts[1]
    assert pivot.agreement == Agreement(count=13, reason="too few uses: 1, and 10 are needed")


def test_chance_is_no_agreement_however_rare_the_concepts(note: Note) -> None:
    draw = random.Random(7)
    tags = [tuple(draw.choice(["jab", ""]) + f" move-{draw.randrange(40)}" for _ in range(2)) for _ in range(200)]
    comparison = only(report(two_annotations(note, tags)))
    assert comparison.alpha_nominal.value == pytest.approx(0, abs=0.1)
    assert comparison.alpha_masi.value == pytest.approx(0, abs=0.1)


def test_the_widest_apart_come_first_with_both_places_and_tags(note: Note) -> None:
    tags = [("jab", "jab")] * 10 + [("jab", "jab pivot"), ("jab", ""), ("Shoulder-Roll?", "pivot")]
    comparison = only(report(two_annotations(note, tags)))
    assert [(found.distance, found.first.tags, found.second.tags) for found in comparison.disagreements] == [
        (1, ("pivot",), ("Shoulder-Roll",)),
        (1, (), ("jab",)),
        (pytest.approx(1 - 1 / 2 * 2 / 3), ("jab", "pivot"), ("jab",)),
    ]
    worst = comparison.disagreements[0]
    assert (worst.bout, worst.round) == ("ardal-venn-2030", 1)
    assert (worst.first.analyst, worst.first.file, worst.first.line) == ("jr", "bouts/jr.md", 26)
    assert (worst.second.analyst, worst.second.file, worst.second.line) == ("mk", "bouts/mk.md", 13)
    assert [(found.first, found.second, found.count) for found in comparison.confusions] == [
        ("pivot", "shoulder-roll", 1)
    ]


def test_unknown_tags_that_differ_in_case_alone_agree(note: Note) -> None:
    assert only(report(two_annotations(note, [("Shoulder-Roll?", "shoulder-roll?")] * 3))).disagreements == ()


def test_one_analyst_twice(note: Note) -> None:
    tags = [("jab", "jab")] * 8 + [("pivot", "jab")] * 4
    found = report(two_annotations(note, tags, analyst="mk", file="notes/again.md"))
    comparison = only(found)
    assert (comparison.first, comparison.second, comparison.pairs) == ("mk", "mk", 12)
    assert comparison.disagreements[0].first.file == "bouts/mk.md"
    assert comparison.disagreements[0].second.file == "notes/again.md"
    assert found.overall is None


def test_a_second_look_does_not_count_twice_against_another_analyst(note: Note) -> None:
    tags = [("jab", "jab")] * 6
    again = [note("mk", 20 * number, "pivot", file="notes/again.md") for number in range(6)]
    found = report(two_annotations(note, tags) + again)
    assert [(one.first, one.second, one.pairs) for one in found.comparisons] == [("jr", "mk", 6), ("mk", "mk", 6)]
    assert found.comparisons[0].disagreements == found.comparisons[0].second_alone == ()


def test_notes_divided_over_files_are_one_look(note: Note) -> None:
    mk = [note("mk", 10, "jab"), note("mk", 200, "jab", round=2, file="notes/late.md")]
    jr = [note("jr", 10, "jab"), note("jr", 200, "jab", round=2)]
    assert only(report(mk + jr)).pairs == 2


def test_a_round_that_one_alone_noted_is_left_out(note: Note) -> None:
    mk = [note("mk", 10), note("mk", 40), note("mk", 200, round=2)]
    comparison = only(report([*mk, note("jr", 10), note("jr", 70)]))
    assert [noted.line for noted in comparison.first_alone] == [5]
    assert [noted.line for noted in comparison.second_alone] == [2]
    assert report([note("mk", 10), note("jr", 200, round=2)]).comparisons == ()


def test_what_is_no_attributed_and_placed_note_is_left_out_and_counted(note: Note) -> None:
    found = report(
        [
            note("mk", 10),
            note("jr", 10, kind="transcript"),
            note("jr", None, written_time=None),
            note("jr", None),
            note(None, 10),
        ]
    )
    assert found == AgreementReport(comparisons=(), overall=None, without_analyst=1, without_time=1)


def test_three_analysts_share_moments(note: Note) -> None:
    tags = ["jab", "pivot", "jab pivot"] * 5
    segments = [
        note(analyst, 20 * number + late, "" if analyst == "ao" and number == 3 else tag)
        for analyst, late in (("mk", 0), ("jr", 1), ("ao", 2))
        for number, tag in enumerate(tags)
        if not (analyst == "ao" and number == 0)
    ]
    found = report(segments)
    assert [(one.first, one.second) for one in found.comparisons] == [("ao", "jr"), ("ao", "mk"), ("jr", "mk")]
    assert found.overall is not None
    assert found.overall.analysts == ("ao", "jr", "mk")
    assert found.overall.moments == 15
    assert [(concept.both, concept.some) for concept in found.overall.concepts] == [(9, 1), (10, 0)]
    # Boundaries a second or two apart lose a quarter for each second.
    comparisons = {(one.first, one.second): one.boundaries for one in found.comparisons}
    assert comparisons["jr", "mk"].value == pytest.approx(0.75)
    assert comparisons["ao", "jr"].value == pytest.approx(14 * 0.75 / 15)
    assert comparisons["ao", "mk"].value == pytest.approx(14 * 0.5 / 15)
    assert found.overall.boundaries.value == pytest.approx((15 * 0.75 + 14 * 0.75 + 14 * 0.5) / 45)


def test_the_same_notes_give_the_same_report_and_a_seed_moves_intervals_alone(
    note: Note, monkeypatch: pytest.MonkeyPatch
) -> None:
    draw = random.Random(1)
    tags = [tuple(draw.choice(["jab", "pivot", "jab pivot"]) for _ in range(2)) for _ in range(30)]
    segments = over_bouts(note, tags, 8)
    assert report(segments) == report(segments)
    one = only(report(segments)).alpha_masi
    monkeypatch.setattr(interval, "SEED", 1)
    other = only(report(segments)).alpha_masi
    assert one.value == other.value
    assert (one.low, one.high) != (other.low, other.high)


def test_wrong_calls_say_so(note: Note) -> None:
    with pytest.raises(UnknownName, match=r"bouts/mk\.md:1"):
        agreement([note("mk", 10)], {}, VOCABULARY)


def test_an_agreement_is_a_number_with_its_interval_or_a_reason() -> None:
    with pytest.raises(ValueError, match="interval"):
        Agreement(value=0.5, count=10)
    with pytest.raises(ValueError, match="or a reason"):
        Agreement(value=0.5, low=0.4, high=0.6, count=10, reason="too few")
    with pytest.raises(ValueError, match="two ends"):
        Agreement(value=0.5, low=0.4, count=10)
