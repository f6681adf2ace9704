"""The plan that makes a library of a folder: `library.yaml`, and for each bout its front matter.

Notes stay where they are, and every byte of theirs. Those in `bouts/` get front matter above; for notes elsewhere a
bout's file is made in `bouts/` that names them as its sources.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from fightnotes.editing.line_edit import LineEdit, Span, edits_of, lines_of, newline_of, read_exact
from fightnotes.editing.plan import Plan
from fightnotes.editing.vocabulary_text import scalar
from fightnotes.model import fold
from fightnotes.reading.file_names import BOUTS_FOLDER, SETTINGS_FILE
from fightnotes.starting.bouts import Answers, BoutGuess, gather
from fightnotes.starting.corners import corners_of, names_of_sides
from fightnotes.starting.encodings import UTF8, text_of_bytes
from fightnotes.starting.folder import LeftAlone
from fightnotes.starting.front_matter import KEYS, day_of, matter_lines
from fightnotes.starting.names import surname
from fightnotes.starting.questions import Question, answers_to, open_questions
from fightnotes.starting.survey import Survey, copy_of

_BYTE_ORDER_MARK = "\ufeff"


@dataclass(frozen=True)
class Beginning:
    """What `start` would make of a folder, with the answers given so far."""

    bouts: tuple[str, ...]
    """The files of the bouts that begin, in `bouts/`."""
    plan: Plan
    questions: tuple[Question, ...]
    """Not answered yet."""
    left: tuple[LeftAlone, ...]
    """Files that stay out, and why."""


def questions_of(survey: Survey, answers: Answers) -> tuple[Question, ...]:
    """What is not answered yet. It changes with the answers, as what is no notes has no fighters to ask for."""
    return open_questions(survey, gather(survey, answers), answers)


def read_answers(survey: Survey, given: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Answers by key, in any order. Raises UsageError for a key that asks nothing, or an answer that is none."""
    return answers_to(lambda answers: questions_of(survey, answers), given)


def plan_beginning(survey: Survey, answers: Answers) -> Beginning:
    """The edits that begin all bouts, and what stays out. Raises UnreadableFile where a file changed meanwhile."""
    gathering = gather(survey, answers)
    edits: list[LineEdit] = []
    notes: list[str] = []
    edits += settings_edits(survey, answers)
    files: list[str] = []
    ids = {bout.id.casefold() for bout in survey.begun}
    for guess in gathering.bouts:
        in_place = bool(guess.notes) and guess.notes[0].in_bouts
        identity = free_id(guess, survey, answers, ids, in_place)
        ids.add(identity.casefold())
        file = guess.file if in_place else f"{BOUTS_FOLDER}/{identity}.md"
        files.append(file)
        lines = matter_lines(guess, identity, file, gathering, answers, survey.settings)
        edits += _in_place(survey.root, guess, lines) if in_place else [new_file(file, lines)]
        for other, encoding in _to_convert(guess):
            edits.append(_copy(survey.root, other))
            look = "" if encoding == "UTF-16" else "; look at its accented letters"
            notes.append(f"{other}: read as {encoding}, copied as UTF-8 to {copy_of(other)}{look}")
        notes += _not_taken_over(guess, in_place)
    title = f"start {len(files)} {'bout' if len(files) == 1 else 'bouts'}" if files else f"start {survey.root.name}"
    plan = Plan(title, tuple(edits), tuple(notes))
    return Beginning(tuple(files), plan, open_questions(survey, gathering, answers), (*survey.left, *gathering.left))


def settings_edits(survey: Survey, answers: Answers) -> tuple[LineEdit, ...]:
    """Of the file that makes a folder a library, where there is none."""
    title = answers.get("title") or survey.root.name or "library"
    return () if survey.has_settings else (LineEdit(SETTINGS_FILE, 1, (), (f"title: {scalar(title)}\n",)),)


def free_id(guess: BoutGuess, survey: Survey, answers: Answers, taken: set[str], in_place: bool) -> str:
    """The id that its notes give, else one of the fighters and the year, else of the name; a number makes it unique."""
    given = guess.notes[0].facts.matter.get("bout") if guess.notes else None
    wanted = _slug(given.text) if given and given.text else _id_of(guess, survey, answers)
    identity, number = wanted, 2
    while identity.casefold() in taken or (not in_place and (survey.root / BOUTS_FOLDER / f"{identity}.md").exists()):
        identity, number = f"{wanted}-{number}", number + 1
    return identity


def _id_of(guess: BoutGuess, survey: Survey, answers: Answers) -> str:
    red, blue = corners_of(guess, answers, survey.settings)
    year = day_of(guess, answers)[:4]
    if red and blue:
        return _slug(" ".join((*map(surname, names_of_sides(guess, answers) or (red.name, blue.name)), year)))
    return _slug(f"{guess.name.title} {year}") or "bout"


def _slug(text: str) -> str:
    return re.sub(r"[^\w]+", "-", unicodedata.normalize("NFC", fold(text))).strip("-_")[:80]


def new_file(file: str, matter: Iterable[str], notes: Iterable[str] = ()) -> LineEdit:
    """A bout's file of front matter, and notes below it."""
    return LineEdit(file, 1, (), tuple(f"{line}\n" for line in ("---", *matter, "---", *notes)))


def _in_place(root: Path, guess: BoutGuess, lines: list[str]) -> tuple[LineEdit, ...]:
    """Front matter above the notes, or its missing lines at the end of what is there; endings as in the file."""
    text = read_exact(root / guess.file)
    newline = newline_of(text)
    end = guess.facts[0].matter_end
    if end:
        return (LineEdit(guess.file, end, (), tuple(line + newline for line in lines)),)
    mark = len(_BYTE_ORDER_MARK) if text.startswith(_BYTE_ORDER_MARK) else 0
    above = "".join(line + newline for line in ("---", *lines, "---"))
    return edits_of(guess.file, text, [Span(mark, mark, above)])


def _to_convert(guess: BoutGuess) -> Iterator[tuple[str, str]]:
    """Files in another encoding than UTF-8, with it."""
    for note in guess.notes:
        if note.facts.encoding != UTF8:
            yield note.file, note.facts.encoding
    for captions in guess.captions:
        if captions.encoding != UTF8:
            yield captions.file, captions.encoding


def _copy(root: Path, file: str) -> LineEdit:
    found = text_of_bytes((root / file).read_bytes())
    return LineEdit(copy_of(file), 1, (), tuple(lines_of(found.text if found else "")))


def _not_taken_over(guess: BoutGuess, in_place: bool) -> Iterator[str]:
    """Keys of front matter that a bout does not have."""
    for note in guess.notes[1:] if in_place else guess.notes:
        strange = [key for key in note.facts.matter if key not in KEYS]
        if strange:
            yield f"{note.file}: {', '.join(strange)} of its front matter is no key of a bout and is not taken over"
