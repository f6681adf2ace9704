"""Templates of HTML: every text put into one is escaped, and what would turn the direction of what follows is shown.

A template writes `| safe` alone behind drawings of ours, which escape their own text, and behind what a template made.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from fightnotes.visible import visible

_SHARED = Path(__file__).parent / "templates"


def templates(*folders: Path) -> Environment:
    """Templates of these folders and the shared ones; a name that a template uses and is not given is an error."""
    return Environment(
        loader=FileSystemLoader([*folders, _SHARED]),
        autoescape=True,
        finalize=_shown,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _shown(value: Any) -> Any:
    """Text made safe to look at; None is nothing; what is HTML by now stays."""
    if value is None:
        return ""
    return visible(value) if type(value) is str else value
