from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from itertools import count

import pytest

from fightnotes.model import Segment, Tag


@pytest.fixture
def note() -> Callable[..., Segment]:
    """Makes notes at a footage second, each on a line of its own, with tags by concept id."""
    lines = count(1)

    def make(analyst: str | None, at: float | None, tags: str = "", **fields: object) -> Segment:
        line = next(lines)
        given: dict[str, object] = {
            "bout": "ardal-venn-2030",
            "file": f"bouts/{analyst}.md",
            "line": line,
            "last_line": line,
            "kind": "note",
            "text": f"moment at {at}",
            "written_time": "0:00" if at is None else f"0:{at}",
            "start": None if at is None else Fraction(at),
            "end": None if at is None else Fraction(at) + 12,
            "round": 1,
            "analyst": analyst,
            "tags": tuple(
                Tag(written=tag.strip("?"), concept=None if tag.endswith("?") else tag, line=line, column=1)
                for tag in tags.split()
            ),
        }
        return Segment.model_validate(given | fields)

    return make
