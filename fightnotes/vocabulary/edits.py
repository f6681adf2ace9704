"""Changes of the vocabulary planned as line edits across the whole library.

A plan is shown before it is applied (`line_edit.shown`), applied as one (`plan.apply_plan`) and
taken back from the undo file that comes out. Nothing here reads or writes a file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from fightnotes.editing.line_edit import LineEdit, read_exact
from fightnotes.editing.plan import Plan
from fightnotes.editing.tag_rewrite import retag
from fightnotes.editing.vocabulary_rewrite import rewrite_vocabulary
from fightnotes.errors import UsageError
from fightnotes.model import Concept, Segment, Tag, Vocabulary, fold
from fightnotes.reading.file_names import VOCABULARY_FILE
from fightnotes.reading.library import LibraryReading
from fightnotes.vocabulary import changed as change

TagPlace = tuple[str, int, int]
"""File, line and column of a tag, as its segment has them."""


@dataclass(frozen=True)
class LibraryText:
    """What a plan is made from: the library as read, and the very texts that it was read from."""

    vocabulary: Vocabulary
    vocabulary_text: str
    segments: Sequence[Segment]
    texts: Mapping[str, str]
    """By file, every file that holds a tag; with line endings as they stand."""
    vocabulary_file: str = VOCABULARY_FILE


def library_text(reading: LibraryReading) -> LibraryText:
    """The library as it was just read, with the texts that it was read from. Raises UnreadableFile."""
    files = {segment.file for segment in reading.segments if segment.tags}
    return LibraryText(
        vocabulary=reading.vocabulary,
        vocabulary_text=vocabulary_text(reading.root),
        segments=reading.segments,
        texts={file: read_exact(reading.root / file) for file in files},
        vocabulary_file=VOCABULARY_FILE,
    )


def vocabulary_text(root: Path) -> str:
    """Empty where there is no vocabulary yet. Raises UnreadableFile."""
    path = root / VOCABULARY_FILE
    return read_exact(path) if path.exists() else ""


def plan_concept(library: LibraryText, concept: Concept) -> Plan:
    """A new concept, behind the last narrower one of its broader. Raises UsageError."""
    wanted = change.with_concept(library.vocabulary, concept)
    return Plan(f"add {concept.id}", _vocabulary_edits(library, wanted))


def plan_labels(library: LibraryText, concept_id: str, also: Iterable[str] = (), misheard: Iterable[str] = ()) -> Plan:
    """More labels for a concept. Raises UsageError, UnknownName."""
    wanted = change.with_labels(library.vocabulary, concept_id, also, misheard)
    return Plan(f"add labels to {concept_id}", _vocabulary_edits(library, wanted))


def plan_merge(library: LibraryText, gone: str, into: str) -> Plan:
    """One concept into another, whose id every tag of the first then bears. Raises UsageError, UnknownName."""
    before = change.named(library.vocabulary, gone), change.named(library.vocabulary, into)
    wanted = change.merged(library.vocabulary, gone, into)
    lost = [
        f"{key} of {gone} falls away: {getattr(before[0], key)}"
        for key in ("definition", "scope", "pairing", "notation", "match", "address")
        if getattr(before[0], key) and getattr(wanted.by_id[into], key) != getattr(before[0], key)
    ]
    tags = _retag(library, lambda tag: into if tag.concept == gone else None)
    return Plan(f"merge {gone} into {into}", (*_vocabulary_edits(library, wanted), *tags), tuple(lost))


def plan_rename(
    library: LibraryText, concept_id: str, new_id: str | None = None, new_label: str | None = None, keep: bool = True
) -> Plan:
    """Another id or preferred label. With `keep`, the old words stay as alternative labels.

    Tags that bear the old id, or words that would name the concept no more, bear its id then.
    Raises UsageError, UnknownName.
    """
    wanted = change.renamed(library.vocabulary, concept_id, new_id, new_label, keep)
    now = new_id or concept_id

    def choose(tag: Tag) -> str | None:
        if tag.concept != concept_id:
            return None
        by_old_id = now != concept_id and fold(tag.written) == fold(concept_id)
        return now if by_old_id or wanted.resolve(tag.written) != now else None

    names = {concept_id: now} if now != concept_id else {}
    title = f"rename {concept_id} to {' '.join(filter(None, (new_id, new_label and repr(new_label))))}"
    return Plan(title, (*_vocabulary_edits(library, wanted, names), *_retag(library, choose)))


def plan_retire(library: LibraryText, concept_id: str, instead: str | None = None) -> Plan:
    """A concept taken out; its tags go to `instead`, else to its first broader concept.

    Raises UnknownName, and UsageError where there are tags and neither takes them.
    """
    concept = change.named(library.vocabulary, concept_id)
    heir = change.named(library.vocabulary, instead).id if instead else next(iter(concept.broader), None)
    tagged = sum(tag.concept == concept_id for segment in library.segments for tag in segment.tags)
    if tagged and (heir is None or heir == concept_id):
        raise UsageError(f"{tagged} tags name {concept_id}, which has no broader concept: name one to take them")
    wanted = change.retired(library.vocabulary, concept_id)
    tags = _retag(library, lambda tag: heir if tag.concept == concept_id else None)
    labels = ", ".join(label for label, role in concept.labels() if role != "id")
    return Plan(
        f"retire {concept_id}",
        (*_vocabulary_edits(library, wanted), *tags),
        (f"no concept has these labels any more: {labels}",),
    )


def plan_split(
    library: LibraryText, concept_id: str, parts: Sequence[Concept], assigned: Mapping[TagPlace, str]
) -> Plan:
    """New concepts below one; `assigned` says which of its tags name which part, the others stay with the whole.

    A label that a part names is the part's then, and so are the tags that are written with it.
    Raises UsageError where a place holds no tag of the concept or a part is not there, UnknownName.
    """
    wanted = change.split(library.vocabulary, concept_id, parts)
    ids = {part.id for part in parts}
    places = {
        (segment.file, tag.line, tag.column): tag
        for segment in library.segments
        for tag in segment.tags
        if tag.concept == concept_id
    }
    for place, part in assigned.items():
        if place not in places:
            raise UsageError(f"{place[0]}:{place[1]}:{place[2]}: no tag of {concept_id} stands there")
        if part not in ids:
            raise UsageError(f"{part} is none of the parts {', '.join(sorted(ids))}")
    tags = retag(
        library.segments, library.texts, lambda segment, tag: assigned.get((segment.file, tag.line, tag.column))
    )
    moved = sum(place not in assigned and wanted.resolve(tag.written) != concept_id for place, tag in places.items())
    notes = (f"{moved} tags go to a part with the label that they are written with",) if moved else ()
    title = f"split {concept_id} into {', '.join(part.id for part in parts)}"
    return Plan(title, (*_vocabulary_edits(library, wanted), *tags), notes)


def _vocabulary_edits(
    library: LibraryText, wanted: Vocabulary, renamed: Mapping[str, str] | None = None
) -> tuple[LineEdit, ...]:
    return rewrite_vocabulary(library.vocabulary_text, library.vocabulary_file, wanted, renamed)


def _retag(library: LibraryText, choose: Callable[[Tag], str | None]) -> tuple[LineEdit, ...]:
    return retag(library.segments, library.texts, lambda _, tag: choose(tag))
