"""What was found at a place, quoted for a message."""

from __future__ import annotations

LONGEST = 60
"""Characters between the quotes."""


def excerpt(text: str) -> str:
    """On one line and printable, shortened where it is long; nothing, without quotes, where there is nothing to see."""
    shown = " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
    if not shown:
        return "nothing"
    return f"'{shown}'" if len(shown) <= LONGEST else f"'{shown[: LONGEST - 1]}…'"
