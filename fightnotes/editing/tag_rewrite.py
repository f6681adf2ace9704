"""Tags rewritten where they stand in the notes."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping

from fightnotes.editing.line_edit import LineEdit, Span, edits_of, lines_of
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import Fields, Segment, Tag

Choice = Callable[[Segment, Tag], str | None]
"""The concept id that a tag shall name, or None where it stays."""

_OWN = re.compile(r"\([^()\n]*\)")
_MARKS_ONLY = re.compile(r"(?:\s+(?:#[\w-]+(?:\([^()\n]*\))?|[a-z]+:\S+))*\s*", re.IGNORECASE)


def retag(segments: Iterable[Segment], texts: Mapping[str, str], choose: Choice) -> tuple[LineEdit, ...]:
    """The edits that make each tag name what `choose` says, in `texts` by file.

    Where the segment then had the same tag twice with the same fields, the rewritten one goes: out of
    the line where only tags and fields follow it, else it stays as words of the sentence. Raises
    UnreadableFile where a text does not hold a tag at its place.
    """
    spans: dict[str, list[Span]] = defaultdict(list)
    done: set[tuple[str, int, int]] = set()
    for segment in segments:
        changes = {tag: target for tag in segment.tags if (target := choose(segment, tag)) is not None}
        kept = {(tag.concept, tag.own) for tag in segment.tags if tag not in changes}
        for tag, target in changes.items():
            place = (segment.file, tag.line, tag.column)
            if place in done:
                continue
            done.add(place)
            double = tag.concept != target and (target, tag.own) in kept
            spans[segment.file].append(_span(segment.file, texts, tag, None if double else target))
    return tuple(_edits(spans, texts))


def _edits(spans: Mapping[str, list[Span]], texts: Mapping[str, str]) -> Iterator[LineEdit]:
    for file in sorted(spans):
        yield from edits_of(file, texts[file], spans[file])


def _span(file: str, texts: Mapping[str, str], tag: Tag, target: str | None) -> Span:
    lines = lines_of(texts[file]) if file in texts else []
    line = lines[tag.line - 1] if tag.line <= len(lines) else ""
    mark = 1 if tag.line == 1 and line.startswith("\ufeff") else 0
    column = tag.column - 1 + mark
    written = f"#{tag.written}"
    if line[column : column + len(written)] != written:
        found = repr(line[column : column + len(written)])
        raise UnreadableFile(Problem(file, tag.line, tag.column, found, f"the tag {written} as it was read"))
    origin = sum(len(earlier) for earlier in lines[: tag.line - 1])
    start, stop = column, column + len(written)
    if target is not None:
        return Span(origin + start, origin + stop, f"#{target}")
    own = _OWN.match(line, stop)
    if own and tag.own != Fields():
        stop = own.end()
    before = line[:start]
    if before.strip() and _MARKS_ONLY.fullmatch(line, stop):
        return Span(origin + len(before.rstrip(" ")), origin + stop, "")
    return Span(origin + start, origin + stop, tag.written.replace("-", " "))
