from __future__ import annotations

import time

from hypothesis import given
from hypothesis import strategies as st

from fightnotes.model.hierarchy import Hierarchy

nodes = st.integers(0, 8)
graphs = st.dictionaries(nodes, st.sets(nodes, max_size=4), max_size=9)


def reached(below: dict[int, set[int]], start: int) -> set[int]:
    """What stands below `start` by one step or more, by plain search."""
    seen: set[int] = set()
    waiting = [start]
    while waiting:
        new = below.get(waiting.pop(), set()) - seen
        seen |= new
        waiting += new
    return seen


@given(graphs)
def test_it_knows_of_any_two_which_stands_above(below: dict[int, set[int]]) -> None:
    hierarchy = Hierarchy(below)
    under = {node: reached(below, node) for node in range(9)}
    for upper in range(9):
        for lower in range(9):
            assert hierarchy.is_above(upper, lower) == (lower in under[upper]), (upper, lower)
        assert hierarchy.on_cycle(upper) == (upper in under[upper])
        mates = {other for other in under[upper] if upper in under[other]}
        assert hierarchy.in_cycle_with(upper) == mates


def test_a_deep_chain_is_asked_at_once() -> None:
    depth = 20_000
    begun = time.process_time()
    hierarchy = Hierarchy({node: [node + 1] for node in range(depth)})
    assert all(hierarchy.is_above(0, node) and not hierarchy.is_above(node, node - 1) for node in range(1, depth))
    assert time.process_time() - begun < 10, "a search of the chain for each question would take minutes"
