"""A folder looked through: which files are notes of a bout, which are captions and footage, and what each says."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Literal

from fightnotes.errors import Problem
from fightnotes.index.progress import Progress
from fightnotes.model import Bout, Settings
from fightnotes.reading.drafted import drafts_in
from fightnotes.reading.file_names import BOUTS_FOLDER, SETTINGS_FILE
from fightnotes.reading.opening import allowed_folders
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.reading.text_file import read_bytes
from fightnotes.starting.encodings import UTF8, text_of_bytes
from fightnotes.starting.folder import LeftAlone, files_of
from fightnotes.starting.names import NameFacts, facts_of_file
from fightnotes.starting.note_facts import NoteFacts, note_facts
from fightnotes.vocabulary.starter import starter_vocabulary

CONVERTED_FOLDER = "converted"
_ENOUGH_MOMENTS = 3
"""Moments with a time that make notes of a file whose name tells of no bout; by hand, no source."""
_ABOUT_FOLDERS = frozenset({"readme", "license", "licence", "changelog", "todo", "index", "contents"})
"""What files are called that tell of a folder and not of a bout."""

Likeness = Literal["notes", "perhaps", "none"]


@dataclass(frozen=True)
class NoteFile:
    """A file that may be notes."""

    facts: NoteFacts
    name: NameFacts
    likeness: Likeness

    @property
    def file(self) -> str:
        return self.facts.file

    @property
    def in_bouts(self) -> bool:
        """Whether the library reads it where it lies, as a bout's own file."""
        return is_bout_file(self.file)


@dataclass(frozen=True)
class CaptionsFile:
    file: str
    encoding: str
    name: NameFacts


@dataclass(frozen=True)
class Survey:
    """What a folder holds that no bout of the library has yet."""

    root: Path
    settings: Settings
    has_settings: bool
    """Whether there is a `library.yaml`."""
    begun: tuple[Bout, ...]
    """Bouts whose front matter has a `bout:`; they are left as they are."""
    taken: frozenset[str]
    """Files that those bouts name."""
    notes: tuple[NoteFile, ...]
    captions: tuple[CaptionsFile, ...]
    recordings: tuple[str, ...]
    left: tuple[LeftAlone, ...]
    unreadable: tuple[Problem, ...]


def is_bout_file(file: str) -> bool:
    return file.startswith(f"{BOUTS_FOLDER}/") and file.lower().endswith(".md")


def copy_of(file: str) -> str:
    """Where the UTF-8 copy of a file in another encoding goes."""
    return f"{CONVERTED_FOLDER}/{file}"


def survey_of(root: Path, settings: Settings, bouts: Iterable[Bout], progress: Progress) -> Survey:
    """Looks through the library's folder; each file that is of no begun bout is read once."""
    files = files_of(root, frozenset({settings.audit_baseline}))
    begun = tuple(bout for bout in bouts if bout.id_place != (1, 1))
    taken = frozenset(file for bout in begun for file in bout.files)
    left, unreadable = list(files.left), []
    notes: list[NoteFile] = []
    captions: list[CaptionsFile] = []
    progress.begin("looking through files", len(files.notes) + len(files.captions))
    speech = frozenset(files.captions)
    for file in (*files.notes, *files.captions):
        progress.advance(1)
        if file in taken or copy_of(file) in taken:
            continue
        reporter = Reporter(file)
        raw = read_bytes(root / file, reporter)
        found = None if raw is None else text_of_bytes(raw)
        unreadable += reporter.problems
        if found is None:
            if raw is not None:
                left.append(LeftAlone(file=file, reason="no text: bytes that no encoding explains"))
        elif found.encoding != UTF8 and (root / copy_of(file)).exists():
            reason = f"{found.encoding}, and {CONVERTED_FOLDER}/ has a file for it already"
            left.append(LeftAlone(file=file, reason=reason))
        elif not found.text.strip():
            left.append(LeftAlone(file=file, reason="an empty file"))
        elif file in speech:
            captions.append(CaptionsFile(file, found.encoding, facts_of_file(file)))
        else:
            facts, name = note_facts(file, found.text, found.encoding), facts_of_file(file)
            notes.append(NoteFile(facts, name, _likeness(facts, name)))
    drafted = drafts_in(root, taken, allowed_folders(root, settings.media_roots)) if captions else {}
    left.extend(LeftAlone(file=one.file, reason="captions drafted as notes") for one in captions if one.file in drafted)
    left.extend(_no_notes(notes))
    return Survey(
        root=root,
        settings=settings,
        has_settings=(root / SETTINGS_FILE).exists(),
        begun=begun,
        taken=taken,
        notes=tuple(note for note in notes if not _reason_against(note)),
        captions=tuple(one for one in captions if one.file not in drafted),
        recordings=files.recordings,
        left=tuple(left),
        unreadable=tuple(unreadable),
    )


def _likeness(facts: NoteFacts, name: NameFacts) -> Likeness:
    if is_bout_file(facts.file):
        return "notes"
    named = bool(name.days or (name.sides and not are_terms(name.sides)))
    if not facts.timed:
        return "perhaps" if named and facts.rounds else "none"
    if PurePosixPath(facts.file).stem.casefold() in _ABOUT_FOLDERS:
        return "perhaps"
    many = facts.timed >= _ENOUGH_MOMENTS and facts.timed >= facts.untimed
    return "notes" if named or facts.rounds or many else "perhaps"


def are_terms(sides: tuple[str, str]) -> bool:
    """Whether what stands on one side of a `v` is a word of the trade: "jab v cross" are no two fighters."""
    return any(starter_vocabulary().resolve(side) for side in sides)


def _no_notes(notes: list[NoteFile]) -> Iterator[LeftAlone]:
    for note in notes:
        reason = _reason_against(note)
        if reason:
            yield LeftAlone(file=note.file, reason=reason)


def _reason_against(note: NoteFile) -> str:
    """Why the file becomes no bout, whatever is asked; empty where it may."""
    if note.likeness == "none":
        return "no line begins with a time"
    if note.in_bouts and "bout" in note.facts.matter:
        return "its front matter has a `bout:` that another file has, too"
    if note.facts.matter_broken:
        return "front matter that cannot be read"
    if note.in_bouts and note.facts.encoding != UTF8:
        return f"{note.facts.encoding} in bouts/: save it as UTF-8"
    return ""
