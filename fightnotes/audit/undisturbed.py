"""The state of the process in which an audit runs the quickest."""

from __future__ import annotations

import gc
import threading
from collections.abc import Iterator
from contextlib import contextmanager

from threadpoolctl import threadpool_limits

_ONE_AT_A_TIME = threading.RLock()


@contextmanager
def undisturbed() -> Iterator[None]:
    """Numerics on one thread, and no search for cycles; one audit at a time, as both hold for the whole process.

    The matrices of an audit are small, and threads wait for each other longer than they work. Next to nothing that it
    makes is in a cycle, and a search goes through every note that is alive.
    """
    with _ONE_AT_A_TIME, threadpool_limits(1):
        searches = gc.isenabled()
        gc.disable()
        try:
            yield
        finally:
            if searches:
                gc.enable()
