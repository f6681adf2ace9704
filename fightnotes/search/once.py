"""What searching works out of a store once, and keeps as long as the store is held."""

from __future__ import annotations

import threading
from collections.abc import Callable
from functools import wraps
from typing import TypeVar
from weakref import WeakKeyDictionary

from fightnotes.index.store import Store

_T = TypeVar("_T")


def once_per_store(work_out: Callable[[Store], _T]) -> Callable[[Store], _T]:
    """The function, whose answer for a store is kept: a store is one snapshot and never changes.

    The answer must not hold the store itself, or neither would ever be let go. Threads that ask at once wait for the
    one that works it out.
    """
    answers: WeakKeyDictionary[Store, _T] = WeakKeyDictionary()
    alone = threading.RLock()

    @wraps(work_out)
    def answer(store: Store) -> _T:
        found = answers.get(store)
        if found is None:
            with alone:
                found = answers.get(store)
                if found is None:
                    found = answers[store] = work_out(store)
        return found

    return answer
