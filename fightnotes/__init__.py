"""fightnotes: a searchable knowledge base from a film analyst's own timed notes and transcripts.

>>> library = fightnotes.open_library("my-library")   # doctest: +SKIP
>>> library.build()                                    # doctest: +SKIP
>>> library.find("baiting with open guard").hits[0]    # doctest: +SKIP
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

_HOMES = {
    "Arrangement": "fightnotes.cutting",
    "Assembly": "fightnotes.cutting",
    "Bout": "fightnotes.model",
    "BuildReport": "fightnotes.index.build",
    "BurntIn": "fightnotes.cutting",
    "CUT_COLUMNS": "fightnotes.cutting",
    "Concept": "fightnotes.model",
    "Fighter": "fightnotes.model",
    "FightnotesError": "fightnotes.errors",
    "Filters": "fightnotes.search.filters",
    "Found": "fightnotes.search.find",
    "Hit": "fightnotes.search.hit",
    "Library": "fightnotes.library",
    "MOMENT_COLUMNS": "fightnotes.model",
    "Moment": "fightnotes.model",
    "Plan": "fightnotes.editing.plan",
    "Problem": "fightnotes.errors",
    "Proposal": "fightnotes.proposing.proposal",
    "ReelForm": "fightnotes.cutting",
    "Segment": "fightnotes.model",
    "Selection": "fightnotes.cutting",
    "Suggestion": "fightnotes.suggesting.suggestion",
    "Vocabulary": "fightnotes.model",
    "is_concept_id": "fightnotes.reading.grammar",
    "markdown_answer": "fightnotes.model",
    "open_library": "fightnotes.library",
    "reel_form": "fightnotes.cutting",
    "rounds_of": "fightnotes.reading.values",
    "seconds_of": "fightnotes.reading.values",
    "timestamp_lists": "fightnotes.model",
    "written_seconds": "fightnotes.reading.values",
}
"""Where each public name lives; it is loaded when it is first asked for, so that `import fightnotes` costs little."""

__all__ = sorted(_HOMES)  # noqa: PLE0605  pinned by a test
__version__ = "0.1.0"


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'fightnotes' has no attribute '{name}'")
    return getattr(import_module(_HOMES[name]), name)
