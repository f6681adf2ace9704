"""A talk drafted as notes: its moments as lines to edit, in a new file that its bout names."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import zip_longest

from fightnotes.editing.line_edit import LineEdit, read_exact
from fightnotes.editing.note_lines import note_lines
from fightnotes.editing.plan import Plan
from fightnotes.editing.source_entry import added_sources, source_edits
from fightnotes.errors import Problem, UnreadableFile, UsageError
from fightnotes.model import FOOTAGE, Bout, Segment, Source
from fightnotes.reading.drafted import origin_mark
from fightnotes.reading.file_names import BOUTS_FOLDER
from fightnotes.reading.front_matter import bout_from
from fightnotes.reading.note_blocks import read_blocks
from fightnotes.reading.note_marks import NoteContext
from fightnotes.reading.note_segments import segments_of
from fightnotes.reading.opening import allowed_folders
from fightnotes.reading.placed_yaml import Reporter, read_yaml
from fightnotes.reading.refusals import read_rejected_terms
from fightnotes.starting.bouts import Answers
from fightnotes.starting.doubtful import Doubt, doubts_in, with_marks, words_alone
from fightnotes.starting.encodings import UTF8
from fightnotes.starting.front_matter import matter_lines
from fightnotes.starting.plan import free_id, new_file, settings_edits
from fightnotes.starting.questions import Question
from fightnotes.starting.survey import is_bout_file
from fightnotes.starting.talk_bout import (
    TalkSurvey,
    gathering_of,
    home_of,
    own_recording,
    questions_of_talk,
    recording_of,
    talk_bout,
)
from fightnotes.starting.talks import Talk, moments_of

_MILLISECOND = Fraction(1, 1000)
"""To which times are written."""


@dataclass(frozen=True)
class Drafting:
    """What `draft` would make of a talk, with the answers given so far."""

    file: str
    """Of the notes."""
    bout: Bout
    """Whose notes they are."""
    plan: Plan
    moments: tuple[Segment, ...]
    """In the order in which they are written."""
    doubts: tuple[Doubt, ...]
    problems: tuple[Problem, ...]
    """What of the talk could not be read."""
    questions: tuple[Question, ...] = ()
    """Not answered yet."""

    @property
    def put_right(self) -> tuple[tuple[Segment, str, str], ...]:
        """Each moment with words that stood otherwise in the talk: these and those."""
        return tuple(_put_right(self.moments))


def plan_draft(talk: Talk, file: str | None = None, keep: bool = False) -> Drafting:
    """The edits that draft a talk that a bout names, in `file`, and name the notes in its place; beside it with `keep`.

    Raises UsageError for a file that is there already or would be a bout's own, UnreadableFile where nothing is said in
    the talk or the bout's sources cannot be edited in place.
    """
    bout, source = talk.bout, talk.source
    assert bout is not None
    assert source is not None
    target = _free(talk, file or talk.notes_file)
    notes = source.model_copy(update={"file": target, "kind": "notes"})
    written = _written(talk, bout, notes)
    settings = talk.configuration.settings
    folders = allowed_folders(talk.root, settings.media_roots)
    entry = source_edits(bout, read_exact(talk.root / bout.file), source, notes, settings, folders, keep)
    plan = Plan(f"draft {target}", (_new_notes(target, written.lines), *entry))
    return Drafting(target, bout, plan, written.moments, written.doubts, written.problems)


def plan_first_draft(found: TalkSurvey, answers: Answers, file: str | None = None, keep: bool = False) -> Drafting:
    """The same of a talk that no bout names: a begun bout takes the notes among its sources, or one begins.

    In a new bout's own file stand the notes whose times count on the footage, unless another `file` is given.
    """
    if keep and found.talk.encoding != UTF8:
        raise UsageError(f"{found.talk.file}: {found.talk.encoding}, which no bout can name: save it as UTF-8")
    home = home_of(found, answers)
    return _begun(found, answers, file, keep) if home is None else _taken_in(found, home, answers, file, keep)


def _taken_in(found: TalkSurvey, bout: Bout, answers: Answers, file: str | None, keep: bool) -> Drafting:
    talk, settings = found.talk, found.survey.settings
    timed_on = recording_of(found, bout, answers)
    recording = None if timed_on in (FOOTAGE, *bout.recordings) else (timed_on, own_recording(found))
    target = _free(talk, file or talk.notes_file)
    notes = Source(file=target, kind="notes", timed_on=timed_on)
    written = _written(talk, bout, notes)
    new = (notes, notes.model_copy(update={"file": talk.file, "kind": "transcript"}))[: 1 + keep]
    folders = allowed_folders(talk.root, settings.media_roots)
    entries = added_sources(bout, read_exact(talk.root / bout.file), new, recording, settings, folders)
    plan = Plan(f"draft {target}", (_new_notes(target, written.lines), *entries))
    questions = questions_of_talk(found, answers)
    return Drafting(target, bout, plan, written.moments, written.doubts, written.problems, questions)


def _begun(found: TalkSurvey, answers: Answers, file: str | None, keep: bool) -> Drafting:
    talk, settings = found.talk, found.survey.settings
    taken = {bout.id.casefold() for bout in found.survey.begun}
    identity = free_id(talk_bout(found, talk.file, answers), found.survey, answers, taken, in_place=False)
    bout_file = f"{BOUTS_FOLDER}/{identity}.md"
    apart = file or (None if recording_of(found, None, answers) == FOOTAGE else talk.notes_file)
    target = _free(talk, apart) if apart else bout_file
    guess = talk_bout(found, target, answers, keep)
    matter = matter_lines(guess, identity, bout_file, gathering_of(guess), answers, settings)
    root = read_yaml("\n".join(matter), Reporter(bout_file), 2)
    bout = bout_from(root, bout_file, settings, allowed_folders(talk.root, settings.media_roots), Reporter(bout_file))
    own = Source(file=target, kind="notes", analyst=bout.analyst)
    written = _written(talk, bout, next((source for source in bout.sources if source.file == target), own))
    edits = [new_file(bout_file, matter, () if apart else written.lines)]
    if apart:
        edits.append(_new_notes(target, written.lines))
    plan = Plan(f"draft {target}", (*settings_edits(found.survey, answers), *edits))
    questions = questions_of_talk(found, answers)
    return Drafting(target, bout, plan, written.moments, written.doubts, written.problems, questions)


@dataclass(frozen=True)
class _Written:
    """A talk as the lines of a note file."""

    lines: tuple[str, ...]
    moments: tuple[Segment, ...]
    doubts: tuple[Doubt, ...]
    problems: tuple[Problem, ...]


def _free(talk: Talk, file: str) -> str:
    """The file, where nothing is there yet. Raises UsageError."""
    if not file.lower().endswith(".md"):
        raise UsageError(f"{file}: notes are Markdown, so expected a file named *.md")
    if is_bout_file(file):
        raise UsageError(f"{file}: what lies in {BOUTS_FOLDER}/ is a bout's own file; name another folder with --to")
    if os.path.lexists(talk.root / file):
        raise UsageError(f"{file} is there already, and no draft goes over it: name another file with --to")
    return file


def _new_notes(file: str, lines: Iterable[str]) -> LineEdit:
    return LineEdit(file, 1, (), tuple(f"{line}\n" for line in lines))


def _written(talk: Talk, bout: Bout, notes: Source) -> _Written:
    """The talk as `notes` of a bout."""
    reporter = Reporter(talk.file)
    spoken = notes.model_copy(update={"file": talk.file, "kind": "transcript"})
    moments = moments_of(talk.text, spoken, bout, talk.configuration, reporter)
    if not any(one.start is not None for one in moments):
        expected = "captions with words, or [m:ss] in front of them"
        raise UnreadableFile(Problem(talk.file, 1, 1, "no word that has a time", expected))
    refused = read_rejected_terms(talk.root)
    doubts = tuple(doubts_in(moments, bout, talk.configuration.vocabulary, refused))
    texts = with_marks(moments, doubts)
    lines = note_lines(bout, moments, texts, talk.configuration.settings.default_length)
    _require_read_back(talk, bout, notes, lines, list(zip(moments, texts, strict=True)))
    return _Written((*lines, "", *_origin(talk, moments)), tuple(moments), doubts, tuple(reporter.problems))


def _require_read_back(
    talk: Talk, bout: Bout, notes: Source, lines: Sequence[str], moments: Sequence[tuple[Segment, str]]
) -> None:
    """Raises UnreadableFile where a reader of the lines would find another moment than was heard."""
    reporter = Reporter(notes.file)
    context = NoteContext(bout, talk.configuration.vocabulary, talk.configuration.settings, reporter)
    read, _ = segments_of(read_blocks("\n".join(lines), reporter).blocks, notes, context)
    pairs = list(zip_longest(moments, read))
    wrong = next(
        (heard or moments[-1] for heard, back in pairs if not (heard and back and _is_same(back, *heard))), None
    )
    if wrong or reporter.problems:
        found = "a moment that would be read back otherwise than it was heard"
        line = (wrong or moments[0])[0].line
        raise UnreadableFile(Problem(talk.file, line, 1, found, "other words, or another time"))


def _is_same(back: Segment, heard: Segment, text: str) -> bool:
    if heard.start is None or back.start is None:
        return heard.start is back.start and back.text == text
    return back.text == text and abs(back.start - heard.start) < _MILLISECOND


def _put_right(moments: Iterable[Segment]) -> Iterator[tuple[Segment, str, str]]:
    for moment in moments:
        for one in moment.repairs:
            yield moment, words_alone(one.heard), words_alone(moment.text[one.begin : one.stop])


def _origin(talk: Talk, moments: Iterable[Segment]) -> list[str]:
    """A comment that says of which file they are, and what was put right."""
    pairs = Counter((heard, meant) for _, heard, meant in _put_right(moments))
    said = [f"{heard} = {meant}{f' ({times})' if times > 1 else ''}" for (heard, meant), times in sorted(pairs.items())]
    lines = [f"put right: {each}".replace("-->", "-- >").replace("<!--", "<! --") for each in said]
    return [origin_mark(talk.file), *lines, "-->"] if lines else [f"{origin_mark(talk.file)} -->"]
