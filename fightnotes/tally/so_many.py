"""How many of what, in words."""

from __future__ import annotations


def so_many(count: int, what: str) -> str:
    """`1 bout`, `2 bouts`."""
    return f"{count} {what}" if count == 1 else f"{count} {what}s"
