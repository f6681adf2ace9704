from __future__ import annotations

from itertools import pairwise, permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fightnotes.tally import chance
from fightnotes.tally.events import Events, events_of
from fightnotes.tally.follow import Following, chain, chains, chains_to, occurrences, pairs
from tests.bench.planted import ROUNDS, WITHIN
from tests.bench.planted import events_of as simulated

Given = list[tuple[str, float, str]]


def events(*given: tuple[str, float, str]) -> Events:
    groups, seconds, kinds = zip(*given, strict=True) if given else ((), (), ())
    return events_of(groups, seconds, kinds)


def pair(found: tuple[Following, ...], kinds: tuple[str, str]) -> Following | None:
    return next((each for each in found if each.kinds == kinds), None)


def test_each_beginning_counts_once_and_within_is_itself_allowed() -> None:
    made = events(("b", 0, "jab"), ("b", 2, "cross"), ("b", 3, "cross"), ("b", 10, "jab"), ("b", 15, "cross"))
    found = chain(made, ("jab", "cross"), within=5)
    assert (found.count, found.of) == (2, 2)
    assert chain(made, ("jab", "cross"), within=4.9).count == 1


def test_what_is_at_the_same_time_or_in_another_bout_does_not_follow() -> None:
    made = events(("b", 1, "jab"), ("b", 1, "cross"), ("c", 2, "cross"), ("a", 2, "cross"))
    assert chain(made, ("jab", "cross"), within=60).count == 0
    assert chains_to(made, ["cross"], within=60, length=2) == []


def test_a_chain_takes_the_link_that_leads_on() -> None:
    """The first cross is too far from the hook, the second is not."""
    made = events(("b", 0, "jab"), ("b", 1, "cross"), ("b", 5, "cross"), ("b", 9, "hook"))
    assert chain(made, ("jab", "cross", "hook"), within=5).count == 1
    assert occurrences(made, ("jab", "cross", "hook"), within=5) == [(0, 2, 3)]


def test_occurrences_stand_where_they_were_given() -> None:
    made = events(("b", 9, "cross"), ("a", 70, "jab"), ("b", 8, "jab"), ("a", 71, "cross"), ("a", 60, "jab"))
    assert sorted(occurrences(made, ("jab", "cross"), within=5)) == [(1, 3), (2, 0)]
    assert occurrences(made, ("jab", "elbow"), within=5) == []


def test_chains_to_a_kind_count_its_events() -> None:
    made = events(
        ("a", 0, "jab"), ("a", 1, "jab"), ("a", 2, "cross"), ("a", 3, "down"),
        ("b", 0, "jab"), ("b", 2, "cross"), ("b", 4, "down"),
        ("c", 0, "hook"), ("c", 1, "down"),
    )  # fmt: skip
    assert chains_to(made, ["down"], within=2, length=2) == [
        (("cross", "down"), 2), (("hook", "down"), 1), (("jab", "down"), 1)
    ]  # fmt: skip
    assert chains_to(made, ["down"], within=2, length=3)[0] == (("jab", "cross", "down"), 2)
    assert chains_to(made, ["throw"], within=2, length=2) == []


def test_a_chain_of_one_is_an_error_and_a_time_that_is_none() -> None:
    with pytest.raises(ValueError, match="two kinds"):
        chain(events(("a", 0, "jab")), ("jab",), within=5)
    with pytest.raises(ValueError, match="two kinds"):
        chains_to(events(("a", 0, "jab")), ["jab"], within=5, length=1)
    with pytest.raises(ValueError, match="more than no time"):
        pairs(events(("a", 0, "jab")), within=0)
    with pytest.raises(ValueError, match="without a time"):
        events(("a", float("nan"), "jab"))


def test_nothing_to_follow() -> None:
    assert pairs(events(), within=5) == ()
    assert chain(events(), ("jab", "cross"), within=5).p_value == 1.0
    rare = events(*(("a", second, kind) for second, kind in enumerate(("jab", "cross", "jab", "cross"))))
    assert pairs(rare, within=5) == (), "fewer than five of a kind"


def by_hand(given: Given, kinds: tuple[str, ...], within: float) -> int:
    """Every way through, tried."""
    found = set()
    for way in permutations(range(len(given)), len(kinds)):
        steps = [given[each] for each in way]
        right = all(step[2] == kind for step, kind in zip(steps, kinds, strict=True))
        if right and all(one[0] == other[0] and 0 < other[1] - one[1] <= within for one, other in pairwise(steps)):
            found.add(way[0])
    return len(found)


event = st.tuples(st.sampled_from("xy"), st.integers(0, 12), st.sampled_from("ABC"))


@settings(deadline=None, max_examples=40)
@given(st.lists(event, max_size=9))
def test_counts_are_those_of_trying_every_way(given: Given) -> None:
    made = events(*given)
    for kinds in [*product("ABC", repeat=2), *product("AB", repeat=3)]:
        expected = by_hand(given, kinds, 4)
        rows = occurrences(made, kinds, 4)
        assert len(rows) == expected
        assert all(tuple(given[place][2] for place in row) == kinds for row in rows)


def test_pairs_are_the_chains_of_two() -> None:
    made = simulated(ROUNDS[1], 0.2, np.random.default_rng(4), bouts=3)
    found = pairs(made, WITHIN)
    assert len(found) > 50
    for each in found[::9]:
        alone = chain(made, each.kinds, WITHIN)
        assert (each.count, each.of) == (alone.count, alone.of)
        assert each.expected == pytest.approx(alone.expected, rel=0.02)
        assert each.p_value == pytest.approx(alone.p_value, rel=0.2)


def test_expected_is_the_mean_over_all_orders(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(chance, "SHUFFLES", 4000)
    seconds, kinds = (0.0, 2.0, 3.0, 7.0, 9.0, 11.0), "AABBCA"
    orders = [
        by_hand([("a", second, kind) for second, kind in zip(seconds, order, strict=True)], ("A", "B"), 3)
        for order in set(permutations(kinds))
    ]
    found = chain(events_of(["a"] * 6, seconds, list(kinds)), "AB", within=3)
    assert found.expected == pytest.approx(np.mean(orders), abs=0.05)
    assert found.p_value == pytest.approx(np.mean(np.array(orders) >= found.count), abs=0.03)


def test_a_planted_pair_is_found_and_the_same_again() -> None:
    made = simulated(ROUNDS[1], 0.8, np.random.default_rng(8))
    found = pairs(made, WITHIN)
    first = found[0]
    assert first.kinds == ("A", "B")
    assert first.adjusted is not None
    assert first.adjusted < 0.001, "no floor under the p value"
    assert first.lift is not None
    assert first.lift.low > 1
    assert [each.kinds for each in found if each.adjusted is not None and each.adjusted < 0.05] == [("A", "B")]
    assert pairs(made, WITHIN) == found


def test_rare_kinds_that_always_follow_have_a_tail_of_their_own() -> None:
    """12 of 12 in 300: no shuffle comes near, and p is far below one over their number."""
    rng = np.random.default_rng(1)
    given = [("a", 3.0 * place, "other") for place in range(300)]
    for begin in range(5, 290, 24):
        given[begin], given[begin + 1] = ("a", 3.0 * begin, "feint"), ("a", 3.0 * begin + 3, "elbow")
    rng.shuffle(given)
    found = pair(pairs(events(*given), within=3), ("feint", "elbow"))
    assert found is not None
    assert (found.count, found.of) == (12, 12)
    assert found.p_value < 1e-5


def test_an_exchange_is_no_sequence() -> None:
    """All come in exchanges, in any order: near to each other, and none follows another more than others do."""
    rng = np.random.default_rng(3)
    seconds = np.concatenate([begin + np.arange(4) for begin in range(0, 3000, 40)])
    made = events_of(["a"] * len(seconds), seconds, rng.choice(list("ABC"), len(seconds)))
    assert all(each.adjusted is None or each.adjusted > 0.05 for each in pairs(made, within=5))


ACTED = [
    ("a", 0, "jab", "x"), ("a", 1, "slip", "y"), ("a", 2, "cross", "x"),
    ("a", 20, "jab", "y"), ("a", 21, "cross", None), ("a", 22, "slip", "y"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("kinds", "either", "same", "other"),
    [
        (("jab", "slip"), 2, 1, 1),
        (("jab", "cross"), 2, 1, 0),
        (("jab", "slip", "cross"), 1, 0, 1),
        (("jab", "cross", "slip"), 1, 0, 0),
    ],
)
def test_what_follows_may_be_by_the_same_or_by_another_who_is_known(
    kinds: tuple[str, ...], either: int, same: int, other: int
) -> None:
    groups, seconds, of, actors = zip(*ACTED, strict=True)
    made = events_of(groups, seconds, of, actors)
    assert chain(made, kinds, 5).count == either
    assert chain(made, kinds, 5, "same").count == same
    assert chain(made, kinds, 5, "other").count == other


def test_taking_turns_makes_no_answer() -> None:
    """Two take turns all the time, each with kinds of his own: nothing of it follows one act more than another."""
    rng = np.random.default_rng(5)
    many = 600
    kinds = [str(rng.choice(["jab", "cross"] if place % 2 else ["slip", "parry"])) for place in range(many)]
    made = events_of(["a"] * many, np.arange(many) * 2.0, kinds, ["xy"[place % 2] for place in range(many)])
    found = pairs(made, 2, "other")
    assert len(found) == 8
    assert all(each.adjusted is not None and each.adjusted > 0.05 for each in found)
    assert all(each.lift is not None and each.lift.low < 1 for each in found)


def test_an_event_of_two_kinds_counts_for_each_and_does_not_follow_itself() -> None:
    both = frozenset({"step", "footwork"})
    given = [(20.0 * place + shift, kind) for place in range(6) for shift, kind in ((0, both), (2, "jab"))]
    made = events_of(["a"] * len(given), [second for second, _ in given], [kind for _, kind in given])
    assert {each.kinds: each.count for each in pairs(made, 5)} == {("footwork", "jab"): 6, ("step", "jab"): 6}
    assert [each.kinds for each in pairs(made, 5, leads=["step"], follows=["jab"])] == [("step", "jab")]


def test_counted_by_the_last_each_end_counts_once() -> None:
    made = events(("b", 0, "jab"), ("b", 1, "jab"), ("b", 2, "down"), ("b", 3, "down"))
    assert (chain(made, ("jab", "down"), 5).count, chain(made, ("jab", "down"), 5, of_last=True).count) == (2, 2)
    assert occurrences(made, ("jab", "down"), 5) == [(0, 2), (1, 2)]
    assert occurrences(made, ("jab", "down"), 5, of_last=True) == [(1, 2), (1, 3)]


@pytest.mark.parametrize("of_last", [False, True])
def test_several_chains_are_told_as_each_by_itself(of_last: bool) -> None:
    rng = np.random.default_rng(3)
    seconds = np.sort(rng.uniform(0, 600, 200))
    events = events_of(["a round"] * 200, seconds, rng.choice(["A", "B", "C"], 200).tolist())
    ways = [("A", "B"), ("B", "C", "A"), ("C", "C")]
    told = [chain(events, way, 5, of_last=of_last) for way in ways]
    assert chains(events, ways, 5, of_last=of_last) == tuple(told)
    assert chains(events, [], 5) == ()
