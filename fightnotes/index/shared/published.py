"""What a build brought into a shared store."""

from __future__ import annotations

from fightnotes.model import Record


class Published(Record):
    place: str
    """Server and database."""
    made_anew_because: str | None
    """Why nothing that it held was used; None where it was."""
    written: int
    """Bouts that were new or had changed."""
    removed: int
    unchanged: int
