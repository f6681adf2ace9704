"""Changes of a library's files: a plan is looked at, then made or not."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from fightnotes.library.opened import Opened

if TYPE_CHECKING:  # a script that only builds need not load what only a search needs
    from fightnotes.editing.plan import Plan


class Changing(Opened):
    """What all commands that edit do with their plans."""

    def diff(self, plan: Plan) -> list[str]:
        """The lines of a unified diff of what a plan would change. Raises UnreadableFile."""
        from fightnotes.editing.plan import diff_of

        return diff_of(self.root, plan.edits)

    def apply(self, plan: Plan) -> Path | None:
        """Makes all the edits of a plan, or none; gives the undo file, or None where nothing changes."""
        from fightnotes.editing.plan import apply_plan

        return apply_plan(self.root, plan)

    def plan_undo(self, file: Path | None = None) -> Plan:
        """What `undo` would change. Raises UsageError where there is nothing to take back, UnreadableFile."""
        from fightnotes.editing.plan import plan_undo

        return plan_undo(self.root, file)

    def undo(self, file: Path | None = None) -> str:
        """Takes back the change of an undo file, else the one made last; gives its title."""
        from fightnotes.editing.plan import take_back

        return take_back(self.root, file).title
