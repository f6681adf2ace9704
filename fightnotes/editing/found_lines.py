"""Where the lines of an edit stand after other lines came, went or changed around them.

An edit remembers the lines beside its own and whether its own stood once in the file. Its lines are found again
where they stand once, as they did when it was made; else at the one place where the lines beside them are the same;
else where most of those stand nearby, more than at any other place that reads alike. Where two may be meant, none is.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from fightnotes.editing.line_edit import LineEdit, lines_of, newline_of
from fightnotes.errors import Problem, UnreadableFile

_BESIDE = 3
"""Lines that are remembered on each side; blank ones do not count."""
_NEARBY = 8
"""Within how many lines those beside are looked for."""


def with_surroundings(text: str, edits: Iterable[LineEdit]) -> tuple[LineEdit, ...]:
    """The edits of `text` with what finds their lines again."""
    lines = [_bare(line) for line in lines_of(text)]
    places = _places(lines)
    return tuple(
        replace(
            edit,
            above=_above(lines, edit.line - 1),
            below=_below(lines, edit.line - 1 + len(edit.old)),
            alone=len(_alike(lines, places, edit)) == 1,
        )
        for edit in edits
    )


def found(file: str, text: str, edits: Iterable[LineEdit]) -> tuple[LineEdit, ...]:
    """The edits where their lines stand in `text`, endings as they are there.

    Raises UnreadableFile where the lines of one stand nowhere, or at several places that may be meant.
    """
    now = lines_of(text)
    lines = [_bare(line) for line in now]
    places = _places(lines)
    return tuple(_moved(edit, _place(file, lines, places, edit), now, newline_of(text)) for edit in edits)


def _place(file: str, lines: Sequence[str], places: Mapping[str, list[int]], edit: LineEdit) -> int:
    alike = _alike(lines, places, edit)
    if len(alike) == 1 and (edit.alone or alike[0] == edit.line - 1):
        return alike[0]
    beside = len(edit.above) + len(edit.below)
    near = {start: _near(lines, start, edit) for start in alike}
    likely = [start for start in alike if 2 * near[start] >= beside]
    same = [start for start in likely if _aligned(lines, start, edit) == beside]
    best = same or [start for start in likely if near[start] == max(near.values())]
    if len(best) != 1:
        what = f"{len(alike)} places that read like it" if len(alike) > 1 else "another text"
        lines_then = ", ".join(map(repr, edit.old)) or "the place"
        raise UnreadableFile(Problem(file, edit.line, 1, what, f"{lines_then} among the lines that stood beside it"))
    return best[0]


def _near(lines: Sequence[str], start: int, edit: LineEdit) -> int:
    """How many of the lines beside the edit stand near a place, on their side of it."""
    end = start + len(edit.old)
    above, below = lines[max(0, start - _NEARBY) : start], lines[end : end + _NEARBY]
    return sum(line in above for line in edit.above) + sum(line in below for line in edit.below)


def _aligned(lines: Sequence[str], start: int, edit: LineEdit) -> int:
    """How many of them stand just as far from it as they did."""
    sides = ((edit.above, _above(lines, start)), (edit.below, _below(lines, start + len(edit.old))))
    return sum(then == now for side in sides for then, now in zip(*side, strict=False))


def _moved(edit: LineEdit, start: int, now: Sequence[str], newline: str) -> LineEdit:
    old = tuple(now[start : start + len(edit.old)])
    if old == edit.old or not edit.new:
        return replace(edit, line=start + 1, old=old)
    new = [_bare(line) + newline for line in edit.new]
    new[-1] = _bare(new[-1]) + (old[-1][len(_bare(old[-1])) :] if old else newline)
    return replace(edit, line=start + 1, old=old, new=tuple(new))


def _alike(lines: Sequence[str], places: Mapping[str, list[int]], edit: LineEdit) -> list[int]:
    """Indexes from which the lines of the edit stand."""
    if not edit.old:
        return list(range(len(lines) + 1))
    old = [_bare(line) for line in edit.old]
    return [start for start in places.get(old[0], ()) if lines[start : start + len(old)] == old]


def _places(lines: Iterable[str]) -> Mapping[str, list[int]]:
    places: dict[str, list[int]] = defaultdict(list)
    for number, line in enumerate(lines):
        places[line].append(number)
    return places


def _above(lines: Sequence[str], start: int) -> tuple[str, ...]:
    """The nearest first."""
    return tuple([line for line in reversed(lines[max(0, start - _NEARBY) : start]) if line.strip()][:_BESIDE])


def _below(lines: Sequence[str], end: int) -> tuple[str, ...]:
    return tuple([line for line in lines[end : end + _NEARBY] if line.strip()][:_BESIDE])


def _bare(line: str) -> str:
    return line.rstrip("\r\n")
