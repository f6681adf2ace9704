"""Signals that ask a command to end, all taken as the interrupt key is."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import NoReturn


@contextmanager
def interrupts() -> Iterator[list[int]]:
    """The interrupt key, a request to end, and a terminal that goes away raise KeyboardInterrupt.

    The signals that came are listed, too, as some libraries swallow the KeyboardInterrupt that meets them at work.
    """
    came: list[int] = []

    def interrupt(number: int, _: FrameType | None) -> NoReturn:
        came.append(number)
        raise KeyboardInterrupt

    before = {number: signal.signal(number, interrupt) for number in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)}
    try:
        yield came
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
