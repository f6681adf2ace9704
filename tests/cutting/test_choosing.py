from __future__ import annotations

from fractions import Fraction

from fightnotes.cutting import Candidate, CutList, assemble
from fightnotes.model import Handles
from tests.cut_samples import a_bout, a_candidate

NONE = Handles(before=Fraction(0), after=Fraction(0))


def lines(made: CutList) -> list[int]:
    return sorted(m.candidate.segment.line for cut in made.cuts for m in cut.moments)


def ten_of(name: str, first_line: int, relevance: float) -> list[Candidate]:
    """Ten moments of 5 s, a minute apart, each a little less relevant than the one before."""
    bout = a_bout(name)
    return [
        a_candidate(bout, 60 * n, 60 * n + 5, line=first_line + n, relevance=relevance - n / 100) for n in range(10)
    ]


def test_the_best_come_first_within_a_bout() -> None:
    made = assemble(ten_of("one", 1, 0.9)[::-1], {}, NONE, target=Fraction(15))
    assert lines(made) == [1, 2, 3]
    assert made.duration == 15


def test_other_bouts_get_their_turn_though_one_has_all_the_best() -> None:
    picked = [*ten_of("one", 1, 0.9), *ten_of("two", 21, 0.7), *ten_of("three", 41, 0.5)]
    made = assemble(picked, {}, NONE, target=Fraction(30))
    counts = {name: sum(cut.bout.id == name for cut in made.cuts) for name in ("one", "two", "three")}
    assert sum(counts.values()) == 6
    assert counts["one"] >= counts["two"] >= counts["three"] >= 1


def test_what_does_not_fit_makes_room_for_what_does() -> None:
    bout = a_bout()
    picked = [
        a_candidate(bout, 0, 8, line=1, relevance=0.9),
        a_candidate(bout, 60, 68, line=2, relevance=0.8),
        a_candidate(bout, 120, 122, line=3, relevance=0.1),
    ]
    made = assemble(picked, {}, NONE, target=Fraction(10))
    assert lines(made) == [1, 3]
    assert [(left.why, left.candidate.segment.line) for left in made.left_out] == [("over the target duration", 2)]


def test_overlapping_moments_cost_only_what_they_add() -> None:
    bout = a_bout()
    picked = [
        a_candidate(bout, 0, 8, line=1, relevance=0.9),
        a_candidate(bout, 2, 10, line=2, relevance=0.8),
        a_candidate(bout, 8, 10, line=3, relevance=0.7),
    ]
    made = assemble(picked, {}, NONE, target=Fraction(10))
    assert lines(made) == [1, 2, 3]
    assert made.duration == 10


def test_without_relevance_the_order_given_is_the_rank() -> None:
    bout = a_bout()
    picked = [a_candidate(bout, start, start + 4, line=start) for start in (90, 10, 50)]
    assert lines(assemble(picked, {}, NONE, target=Fraction(8))) == [10, 90]


def test_nothing_fits_into_less_than_the_shortest() -> None:
    made = assemble([a_candidate(a_bout(), 0, 8)], {}, NONE, target=Fraction(3))
    assert made.cuts == ()
    assert "0:03" in str(made.left_out[0])
