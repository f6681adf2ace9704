"""Accepted tags and fields written into the notes, every other byte kept.

They go to the end of the segment's first block: a tag behind the tags that stand there, before the fields, and a field
behind everything.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from fightnotes.editing.line_edit import LineEdit, Offsets, Span, edited, edits_of, read_exact
from fightnotes.editing.plan import Plan
from fightnotes.errors import Problem, UnreadableFile, UsageError
from fightnotes.model import ACT_KEYS, Bout, Fields, Segment, Settings, Vocabulary, unknown_name
from fightnotes.reading.grammar import TagMark, find_marks, says_more, value_word
from fightnotes.reading.note_blocks import JoinedLines, read_blocks
from fightnotes.reading.note_file import Draft, drafts_of
from fightnotes.reading.note_marks import NoteContext
from fightnotes.reading.note_segments import joined, marks_of
from fightnotes.reading.people import find_fighter
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


OwnFields = Callable[[Segment, str, Fields], Fields]
"""Of a segment, a concept and the fields that the note has now: those that the tag shall have of its own."""
_PLAIN = Fields()


@dataclass(frozen=True)
class _Wanted:
    """What a segment shall have."""

    segment: Segment
    concepts: dict[str, None]
    fields: dict[str, str]
    """By key."""


def plan_taking(around: Notes, wanted: Iterable[tuple[Segment, str]], own: OwnFields = lambda *_: _PLAIN) -> Plan:
    """The edits that give each segment a tag, by a concept's id or label, or a field, as `key:value`.

    One that has the tag by now, or the field with any value, is left as it is. `own` says what a new tag bears in
    parentheses. Raises UsageError for a segment of a transcript and for one fighter in `by` and `on`, UnknownName for
    a label or value, and UnreadableFile where a note no longer holds the moment as it was indexed, or where the mark
    would not be read back as one.
    """
    by_file: dict[str, dict[tuple[int, str | None, str], _Wanted]] = defaultdict(dict)
    for segment, name in wanted:
        if segment.kind != "note":
            raise UsageError(f"{segment.file}:{segment.line}: a transcript is not edited; put the mark in a note")
        key = (segment.line, segment.written_time, segment.text)
        moment = by_file[segment.file].setdefault(key, _Wanted(segment, {}, {}))
        field = field_of(name)
        if field:
            moment.fields[field[0]] = _known_value(around, segment, *field)
        else:
            moment.concepts[_known_concept(around, name)] = None
    edits: list[LineEdit] = []
    for file, moments in sorted(by_file.items()):
        text = read_exact(around.root / file)
        edits.extend(_file_edits(file, text, list(moments.values()), around, own))
    return Plan(_title([one for moments in by_file.values() for one in moments.values()]), tuple(edits))


def field_of(name: str) -> tuple[str, str] | None:
    """Key and value of `key:value`; None for the name of a tag."""
    key, colon, value = name.partition(":")
    return (key, value) if colon and key in ACT_KEYS else None


def _known_concept(around: Notes, label: str) -> str:
    concept = around.vocabulary.resolve(label)
    if concept is None:
        raise unknown_name("concept", label, list(around.vocabulary.by_label))
    return concept


def _known_value(around: Notes, segment: Segment, key: str, value: str) -> str:
    if key in ("by", "on"):
        bout = around.bouts[segment.bout]
        fighter = find_fighter(bout, value)
        if fighter is None:
            raise unknown_name("fighter in this bout", value, [each.id for each in bout.fighters])
        return fighter
    if value_word(value) not in around.settings.field_values[key]:
        raise unknown_name(key, value, around.settings.field_values[key])
    return value_word(value)


def _title(moments: Sequence[_Wanted]) -> str:
    names = [
        name for one in moments for name in (*one.concepts, *(f"{key}:{value}" for key, value in one.fields.items()))
    ]
    if len(names) == 1:
        return f"tag {names[0]}" if moments[0].concepts else f"field {names[0]}"
    what = "mark" if any(one.fields for one in moments) else "tag"
    return f"{what} {len(names)} moments"


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
    tags: tuple[tuple[str, Fields], ...]
    """Their names and own fields, in order."""
    fields: Fields

    @property
    def known(self) -> tuple[object, ...]:
        """What two readings of it have in common, whatever the order of its marks."""
        marks = [*map(str, self.tags), *(f"{key}:{value}" for key in ACT_KEYS for value in getattr(self.fields, key))]
        return self.time, self.text, sorted(marks)

    def has(self, key: str) -> bool:
        """Whether it says a field for itself or in a tag's parentheses."""
        return any(getattr(said, key) for said in (self.fields, *(own for _, own in self.tags)))


def _file_edits(
    file: str, text: str, moments: Sequence[_Wanted], around: Notes, own: OwnFields
) -> tuple[LineEdit, ...]:
    before = _read(file, text, moments[0].segment, around)
    spans: list[Span] = []
    expected = list(before)
    alike = _by_words(before)
    offsets = Offsets(text)
    for moment in moments:
        number = _find(before, alike, moment.segment)
        now = before[number]
        held = {name for name, _ in now.tags}
        fields = {key: moment.fields[key] for key in ACT_KEYS if key in moment.fields and not now.has(key)}
        said = now.fields.model_copy(update={key: (value,) for key, value in fields.items()})
        if fields and set(said.by) & set(said.on):
            raise UsageError(f"{file}:{now.draft.line}: {said.on[0]} cannot be the one who acts and the one acted on")
        tags = {each: own(moment.segment, each, said) for each in moment.concepts if each not in held}
        spans.extend(_insertions(file, text, offsets, now.draft, tags, fields) if tags or fields else ())
        expected[number] = replace(now, tags=(*now.tags, *tags.items()), fields=said)
    edits = edits_of(file, text, spans)
    after = _read(file, edited(file, text, edits), moments[0].segment, around)
    if [one.known for one in after] != [one.known for one in expected]:
        line = edits[0].line
        found = repr(edits[0].old[-1].rstrip("\r\n"))
        raise UnreadableFile(Problem(file, line, 1, found, "a line that a mark can be put behind: write it by hand"))
    return edits


def written_tag(concept: str, own: Fields) -> str:
    """`#hook(by:brandaal outcome:missed)`"""
    said = " ".join(f"{key}:{value}" for key in ACT_KEYS for value in getattr(own, key))
    return f"#{concept}({said})" if said else f"#{concept}"


def _read(file: str, text: str, segment: Segment, around: Notes) -> list[_Read]:
    reporter = Reporter(file)
    read_against = NoteContext(around.bouts[segment.bout], around.vocabulary, around.settings, reporter)
    decoded = decode(text.encode("utf-8", "surrogateescape"), reporter)
    if decoded is None:
        raise UnreadableFile(reporter.problems[0])
    found: list[_Read] = []
    for draft in drafts_of(read_blocks(decoded, reporter).blocks, reporter):
        marks = [marks_of(part, read_against) for part in draft.parts]
        found.append(
            _Read(
                draft,
                draft.time.text if draft.time else None,
                "\n".join(each.text for each in marks if each.text),
                tuple((tag.name, tag.own) for each in marks for tag in each.tags),
                joined([each.fields for each in marks]),
            )
        )
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


def _insertions(
    file: str, text: str, offsets: Offsets, draft: Draft, tags: Mapping[str, Fields], fields: Mapping[str, str]
) -> list[Span]:
    first = draft.parts[0]
    if first.literal:
        raise UnreadableFile(Problem(file, draft.line, 1, "code or HTML", "prose, which a mark can be put behind"))
    new_tags = "".join(f" {written_tag(concept, own)}" for concept, own in tags.items())
    new_fields = "".join(f" {key}:{value}" for key, value in fields.items())
    if first.lines:
        block = JoinedLines(first.lines)
        places = [block.place(at) for at in (_behind_tags(block.text), len(block.text))]
        tags_at, fields_at = (_before_blanks(text, offsets.of(*place)) for place in places)
    else:
        tags_at = fields_at = _before_blanks(text, offsets.of(draft.line + 1, 1))
    if tags_at == fields_at:
        return [Span(tags_at, tags_at, new_tags + new_fields)]
    return [Span(at, at, marks) for at, marks in ((tags_at, new_tags), (fields_at, new_fields)) if marks]


def _before_blanks(text: str, at: int) -> int:
    while text[at - 1 : at].isspace():
        at -= 1
    return at


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
