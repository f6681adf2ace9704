"""Which of many things stands above which, in a hierarchy of any depth, with cycles or without."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterator, Mapping
from typing import Generic, TypeVar

T = TypeVar("T", bound=Hashable)


class Hierarchy(Generic[T]):
    """Made in linear time from what stands directly below each thing.

    One walk down (Tarjan, "Depth-first search and linear graph algorithms", SIAM Journal on Computing 1, 1972)
    finds the groups of things that stand above each other in a cycle, and numbers the groups so that all below a
    group have lower numbers. Two intervals of numbers a group then answer nearly every question at once: what the walk
    found below it lies inside the one, and nothing below it lies outside the other (the idea of GRAIL: Yildirim,
    Chaoji and Zaki, VLDB 2010). Only a thing with several parents may need a search in between.
    """

    def __init__(self, below: Mapping[T, Collection[T]]) -> None:
        self._group: dict[T, int] = {}
        self._first: list[int] = []
        """By group, the lowest number that the walk gave on the way down from it."""
        self._least: list[int] = []
        """By group, the lowest number of all that stands below it."""
        self._members: list[list[T]] = []
        self._cyclic: list[bool] = []
        self._below: list[set[int]] = []
        opened: dict[T, int] = {}
        first: dict[T, int] = {}
        reached: dict[T, int] = {}
        open_things: list[T] = []
        for top in below:
            if top in opened:
                continue
            walk: list[tuple[T, Iterator[T]]] = [(top, iter(below[top]))]
            while walk:
                here, rest = walk[-1]
                if here not in opened:
                    opened[here] = reached[here] = len(opened)
                    first[here] = len(self._least)
                    open_things.append(here)
                for child in rest:
                    if child not in opened:
                        walk.append((child, iter(below.get(child, ()))))
                        break
                    if child not in self._group:
                        reached[here] = min(reached[here], opened[child])
                else:
                    walk.pop()
                    if reached[here] == opened[here]:
                        self._close(here, open_things, below, first[here])
                    if walk:
                        above = walk[-1][0]
                        reached[above] = min(reached[above], reached[here])

    def on_cycle(self, thing: T) -> bool:
        """Whether it stands above itself."""
        return thing in self._group and self._cyclic[self._group[thing]]

    def in_cycle_with(self, thing: T) -> set[T]:
        """All that stand above and below it; itself too where it is on a cycle."""
        return set(self._members[self._group[thing]]) if self.on_cycle(thing) else set()

    def is_above(self, upper: T, lower: T) -> bool:
        """Whether `upper` stands above `lower` by one step or more."""
        if upper not in self._group or lower not in self._group:
            return False
        start, goal = self._group[upper], self._group[lower]
        if start == goal:
            return self._cyclic[start]
        waiting, seen = [start], {start}
        while waiting:
            here = waiting.pop()
            if self._first[here] <= goal <= here:
                return True
            if self._least[here] <= goal <= here:
                new = self._below[here] - seen
                seen |= new
                waiting += new
        return False

    def _close(self, root: T, open_things: list[T], below: Mapping[T, Collection[T]], first: int) -> None:
        number = len(self._least)
        members: list[T] = []
        while not members or members[-1] != root:
            members.append(open_things.pop())
            self._group[members[-1]] = number
        children = [child for member in members for child in below.get(member, ())]
        groups = {self._group[child] for child in children}
        self._members.append(members)
        self._cyclic.append(number in groups)
        self._below.append(groups - {number})
        self._first.append(first)
        self._least.append(min((self._least[group] for group in self._below[number]), default=number))
