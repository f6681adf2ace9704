"""Accepted tags written into the notes, every other byte kept.

A tag goes to the end of the segment's first block: behind the tags that stand there, before the fields.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from fightnotes.editing.line_edit import LineEdit, Offsets, Span, edited, edits_of, read_exact
from fightnotes.editing.plan import Plan
from fightnotes.errors import Problem, UnreadableFile, UsageError
from fightnotes.model import Bout, Segment, Settings, Vocabulary, unknown_name
from fightnotes.reading.grammar import TagMark, find_marks, says_more
from fightnotes.reading.note_blocks import JoinedLines, read_blocks
from fightnotes.reading.note_file import Draft, drafts_of
from fightnotes.reading.note_marks import NoteContext, read_marks
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.text_file import decode

_SPACE = re.compile(r"\s")


@dataclass(frozen=True)
class Notes:
    """Where the notes are, and what they are read against."""

    root: Path
    bouts: Mapping[str, Bout]
    vocabulary: Vocabulary
    settings: Settings


def plan_taking(around: Notes, wanted: Iterable[tuple[Segment, str]]) -> Plan:
    """The edits that give each segment the tag of a concept, by id or label; one that has it by now is left as it is.

    Raises UsageError for a segment of a transcript, UnknownName for a label, and UnreadableFile where a note no longer
    holds the moment as it was indexed, or where a tag would not be read back as one.
    """
    by_file: dict[str, dict[tuple[int, str | None, str], tuple[Segment, list[str]]]] = defaultdict(dict)
    for segment, label in wanted:
        if segment.kind != "note":
            raise UsageError(f"{segment.file}:{segment.line}: a transcript is not edited; put the tag in a note")
        concept = around.vocabulary.resolve(label)
        if concept is None:
            raise unknown_name("concept", label, list(around.vocabulary.by_label))
        key = (segment.line, segment.written_time, segment.text)
        concepts = by_file[segment.file].setdefault(key, (segment, []))[1]
        if concept not in concepts:
            concepts.append(concept)
    edits: list[LineEdit] = []
    for file, moments in sorted(by_file.items()):
        text = read_exact(around.root / file)
        edits.extend(_file_edits(file, text, list(moments.values()), around))
    tags = [concept for moments in by_file.values() for _, concepts in moments.values() for concept in concepts]
    return Plan(f"tag {tags[0]}" if len(tags) == 1 else f"tag {len(tags)} moments", tuple(edits))


def lines_now(around: Notes, segment: Segment) -> tuple[int, int]:
    """First and last line of a note's moment as its file stands now.

    Raises UnreadableFile where it does not hold the moment as it was indexed.
    """
    now = _read(segment.file, read_exact(around.root / segment.file), segment, around)
    draft = now[_find(now, _by_words(now), segment)].draft
    return draft.line, draft.last_line


@dataclass(frozen=True)
class _Read:
    """A segment as the file has it now."""

    draft: Draft
    time: str | None
    text: str
    tags: tuple[str, ...]
    """Their names, in order."""


def _file_edits(
    file: str, text: str, moments: Sequence[tuple[Segment, list[str]]], around: Notes
) -> tuple[LineEdit, ...]:
    before = _read(file, text, moments[0][0], around)
    spans: list[Span] = []
    wanted = [one.tags for one in before]
    alike = _by_words(before)
    offsets = Offsets(text)
    for segment, concepts in moments:
        number = _find(before, alike, segment)
        missing = [concept for concept in concepts if concept not in before[number].tags]
        if missing:
            spans.append(
                _insertion(file, text, offsets, before[number].draft, "".join(f" #{each}" for each in missing))
            )
            wanted[number] = (*wanted[number], *missing)
    edits = edits_of(file, text, spans)
    after = _read(file, edited(file, text, edits), moments[0][0], around)
    if [(one.time, one.text, sorted(one.tags)) for one in after] != [
        (one.time, one.text, sorted(tags)) for one, tags in zip(before, wanted, strict=True)
    ]:
        line = edits[0].line
        found = repr(edits[0].old[-1].rstrip("\r\n"))
        raise UnreadableFile(Problem(file, line, 1, found, "a line that a tag can be put behind: write it by hand"))
    return edits


def _read(file: str, text: str, segment: Segment, around: Notes) -> list[_Read]:
    reporter = Reporter(file)
    read_against = NoteContext(around.bouts[segment.bout], around.vocabulary, around.settings, reporter)
    decoded = decode(text.encode("utf-8", "surrogateescape"), reporter)
    if decoded is None:
        raise UnreadableFile(reporter.problems[0])
    found: list[_Read] = []
    for draft in drafts_of(read_blocks(decoded, reporter).blocks, reporter):
        proses: list[str] = []
        tags: list[str] = []
        for part in draft.parts:
            if part.literal:
                proses.append("\n".join(line.text for line in part.lines))
                continue
            marks = read_marks(part.lines, read_against)
            proses.append(marks.text)
            tags.extend(tag.name for tag in marks.tags)
        time = draft.time.text if draft.time else None
        found.append(_Read(draft, time, "\n".join(prose for prose in proses if prose), tuple(tags)))
    return found


def _by_words(now: Iterable[_Read]) -> Mapping[tuple[str | None, str], list[int]]:
    """The numbers of those that say the same at the same written time."""
    alike: dict[tuple[str | None, str], list[int]] = defaultdict(list)
    for number, one in enumerate(now):
        alike[one.time, one.text].append(number)
    return alike


def _find(now: Sequence[_Read], by_words: Mapping[tuple[str | None, str], list[int]], segment: Segment) -> int:
    """The segment as it was indexed: at its line, or at another where no second one is like it."""
    alike = by_words.get((segment.written_time, segment.text), [])
    here = [n for n in alike if now[n].draft.line == segment.line]
    if here:
        return here[0]
    if len(alike) == 1:
        return alike[0]
    found = "two moments like it" if alike else "another text"
    expected = "the moment as it was indexed: run `fightnotes build`"
    raise UnreadableFile(Problem(segment.file, segment.line, 1, found, expected))


def _insertion(file: str, text: str, offsets: Offsets, draft: Draft, tags: str) -> Span:
    first = draft.parts[0]
    if first.literal:
        raise UnreadableFile(Problem(file, draft.line, 1, "code or HTML", "prose, which a tag can be put behind"))
    if first.lines:
        block = JoinedLines(first.lines)
        at = offsets.of(*block.place(_behind_tags(block.text)))
    else:
        at = offsets.of(draft.line + 1, 1)
    while text[at - 1 : at].isspace():
        at -= 1
    return Span(at, at, tags)


def _behind_tags(text: str) -> int:
    """Where the tags that end a text stop; without such tags, where the fields that end it begin, or its end."""
    at = reached = len(text)
    for mark in reversed(list(find_marks(text))):
        stands_alone = mark.begin == 0 or text[mark.begin - 1].isspace()
        if not stands_alone or says_more(text[mark.stop : reached]):
            break
        if isinstance(mark, TagMark):
            space = _SPACE.search(text, mark.stop)
            return space.start() if space else len(text)
        at = reached = mark.begin
    return at
