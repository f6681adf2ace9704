"""Tags rewritten where they stand in the notes."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping

from fightnotes.editing.line_edit import LineEdit, Offsets, Span, edits_of
from fightnotes.errors import Problem, UnreadableFile
from fightnotes.model import Fields, Segment, Tag
from fightnotes.reading.grammar import says_more, tag_at

Choice = Callable[[Segment, Tag], str | None]
"""The concept id that a tag shall name, or None where it stays."""

_LINE_END = re.compile(r"[\r\n]")
_STOPS_ALONE = re.compile(r"[.,;:!?]*(?:\s|$)")
"""What follows a tag that no brackets or emphasis are put around."""


def retag(segments: Iterable[Segment], texts: Mapping[str, str], choose: Choice) -> tuple[LineEdit, ...]:
    """The edits that make each tag name what `choose` says, in `texts` by file.

    Where the segment then had the same tag twice with the same fields, the rewritten one goes: out of
    the line where only tags and fields follow it, else it stays as words of the sentence. Raises
    UnreadableFile where a text does not hold a tag at its place.
    """
    spans: dict[str, list[Span]] = defaultdict(list)
    offsets = {file: Offsets(text) for file, text in texts.items()}
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
            at = offsets.get(segment.file, Offsets(""))
            spans[segment.file].append(_span(segment.file, texts, at, tag, None if double else target))
    return tuple(_edits(spans, texts))


def _edits(spans: Mapping[str, list[Span]], texts: Mapping[str, str]) -> Iterator[LineEdit]:
    for file in sorted(spans):
        yield from edits_of(file, texts[file], spans[file])


def _span(file: str, texts: Mapping[str, str], offsets: Offsets, tag: Tag, target: str | None) -> Span:
    text = texts.get(file, "")
    start = offsets.of(tag.line, tag.column)
    stop = start + len(f"#{tag.written}")
    if text[start:stop] != f"#{tag.written}":
        expected = f"the tag #{tag.written} as it was read"
        raise UnreadableFile(Problem(file, tag.line, tag.column, repr(text[start:stop]), expected))
    if target is not None:
        return Span(start, stop, f"#{target}")
    if tag.own != Fields():
        stop = tag_at(text, start).stop
    before, end = text[offsets.of(tag.line, 1) : start], _LINE_END.search(text, stop)
    rest = text[stop : end.start() if end else len(text)]
    stands_alone = before[-1:].isspace() and _STOPS_ALONE.match(rest)
    if before.strip() and stands_alone and not says_more(rest):
        return Span(start - len(before) + len(before.rstrip(" ")), stop, "")
    return Span(start, stop, tag.written.replace("-", " "))
