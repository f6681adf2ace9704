"""How hits are shown, whichever command they answer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import count
from typing import TYPE_CHECKING, Any

from fightnotes.cli.layout import print_table, whole, with_whole
from fightnotes.cli.output import print_result

if TYPE_CHECKING:
    from fightnotes.search.hit import Hit


def print_hits(format: str, hits: Sequence[Hit], document: Any, rows: Iterable[dict[str, Any]]) -> None:
    """Hits as a table, as CSV of these rows, or the whole document as JSON. `rows` are `Hit.as_json` of each."""
    from fightnotes import MOMENT_COLUMNS

    print_result(
        format,
        document=document,
        columns=(*MOMENT_COLUMNS, "score", "why"),
        rows=(
            row | {"inferred": "; ".join(hit.inferred), "why": str(hit.why)}
            for row, hit in zip(rows, hits, strict=True)
        ),
        table=lambda: print_moments(zip(map(str, count(1)), hits, strict=False)) if hits else None,
    )


def print_moments(numbered: Iterable[tuple[str, Hit]]) -> None:
    print_table(("", "moment", "note"), (_row(number, hit) for number, hit in numbered), wide=2)


def _row(number: str, hit: Hit) -> tuple[str, str, str]:
    places = ", ".join(map(whole, (hit.place, *(twin.place for twin in hit.same_moment))))
    why = with_whole(str(hit.why), hit.why.like)
    inferred = f"inferred: {'; '.join(hit.inferred)}" if hit.inferred else ""
    repaired = f"repaired: {', '.join(hit.repaired)}" if hit.repaired else ""
    note = filter(None, (hit.shown, hit.marks, inferred, repaired, places, why and f"why: {why}"))
    return number, "\n".join(hit.where), "\n".join(note)
