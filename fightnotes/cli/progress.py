"""Progress on a terminal: a bar on standard error while work is long; none where the output is no terminal."""

from __future__ import annotations

import os
import sys
from types import TracebackType
from typing import TYPE_CHECKING

from fightnotes.cli.output import say
from fightnotes.visible import visible, visible_line

if TYPE_CHECKING:
    from rich.progress import Progress, TaskID


class TerminalProgress:
    """Draws what `fightnotes.index.progress.Progress` is told."""

    def __init__(self) -> None:
        self._bar: Progress | None = None
        self._task: TaskID | None = None

    def __enter__(self) -> TerminalProgress:
        if sys.stderr.isatty() and os.environ.get("TERM") != "dumb":
            from rich.console import Console
            from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

            self._bar = Progress(
                TextColumn("{task.description}"),
                BarColumn(),
                MofNCompleteColumn(),
                TimeRemainingColumn(),
                console=Console(stderr=True, color_system=None if os.environ.get("NO_COLOR") else "auto"),
                transient=True,
            )
            self._bar.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._bar:
            self._bar.stop()

    def begin(self, what: str, total: int) -> None:
        if self._bar and total:
            self._task = self._bar.add_task(visible_line(what), total=total)

    def advance(self, steps: int) -> None:
        if self._bar and self._task is not None:
            self._bar.advance(self._task, steps)

    def say(self, message: str) -> None:
        if self._bar:
            self._bar.console.print(visible(message), highlight=False, markup=False)
        else:
            say(message)
