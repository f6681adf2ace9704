"""What searching works out of a store once, and keeps as long as the store is held."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar
from weakref import WeakKeyDictionary

from fightnotes.index.store import Store

_T = TypeVar("_T")


def once_per_store(work_out: Callable[[Store], _T]) -> Callable[[Store], _T]:
    """The function, whose answer for a store is kept: a store is one snapshot and never changes.

    The answer must not hold the store itself, or neither would ever be let go.
    """
    answers: WeakKeyDictionary[Store, _T] = WeakKeyDictionary()

    @wraps(work_out)
    def answer(store: Store) -> _T:
        if store not in answers:
            answers[store] = work_out(store)
        return answers[store]

    return answer
