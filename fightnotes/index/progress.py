"""How long work tells where it is; the command line draws it, a script may leave it silent."""

from __future__ import annotations

from typing import Protocol


class Progress(Protocol):
    def begin(self, what: str, total: int) -> None:
        """A stage of `total` steps begins."""

    def advance(self, steps: int) -> None:
        """So many more steps of the stage are done."""

    def say(self, message: str) -> None:
        """Something that the person should know now."""


class Silent:
    """Tells nobody."""

    def begin(self, what: str, total: int) -> None:
        pass

    def advance(self, steps: int) -> None:
        pass

    def say(self, message: str) -> None:
        pass
