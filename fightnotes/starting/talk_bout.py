"""The bout of a talk that no bout names: a begun one or a new one, as name and words tell, and what is to be asked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from fightnotes.editing.note_lines import note_lines
from fightnotes.language import in_notes
from fightnotes.model import FOOTAGE, Bout, Segment, Source, fold
from fightnotes.reading.file_names import SETTINGS_FILE
from fightnotes.reading.placed_yaml import Reporter
from fightnotes.starting.bouts import Answers, BoutGuess, Gathering, begun_of, name_of_note
from fightnotes.starting.corners import guess_of_sides, has_corners
from fightnotes.starting.doubtful import with_marks
from fightnotes.starting.encodings import UTF8
from fightnotes.starting.folder import files_of
from fightnotes.starting.matching import Known
from fightnotes.starting.names import NameFacts, facts_of_file
from fightnotes.starting.note_facts import NoteFacts, note_facts
from fightnotes.starting.questions import LEAVE, Question, answers_to, open_questions
from fightnotes.starting.survey import CaptionsFile, NoteFile, Survey
from fightnotes.starting.talks import Talk, moments_of

TALK = "talk"
NEW = "new"
_OF_A_FILE = ("fighters", "date", "footage")
"""Keys of questions that `start` asks of each file."""
_LIVE = frozenset({"commentary", "live"})
_FROM_BELL_TO_BELL = 180
"""Seconds of the shortest round with its rest: 2:00 and 1:00 (common practice, no source)."""


@dataclass(frozen=True)
class TalkSurvey:
    """A talk of no bout, and what is known of it before anybody was asked."""

    talk: Talk
    survey: Survey
    """The library as `start` surveys it, with the talk as the only file of no bout."""
    heard: tuple[Segment, ...]
    """Its moments, as far as they are told before anybody knows who fights."""
    facts: NoteFacts
    """What they say as notes."""
    near: tuple[Bout, ...]
    """The begun bouts that its name tells of."""


def survey_talk(talk: Talk) -> TalkSurvey:
    settings = talk.configuration.settings
    survey = Survey(
        root=talk.root,
        settings=settings,
        has_settings=(talk.root / SETTINGS_FILE).exists(),
        begun=tuple(bout for bout in talk.bouts if bout.id_place != (1, 1)),
        taken=frozenset(),
        notes=(),
        captions=(CaptionsFile(talk.file, talk.encoding, facts_of_file(talk.file)),),
        recordings=files_of(talk.root).recordings,
        left=(),
        unreadable=(),
    )
    bout = Bout(id=TALK, file=talk.file, title=TALK, rounds=settings.rounds)
    source = Source(file=talk.file, timed_on=TALK)
    heard = moments_of(talk.text, source, bout, talk.configuration, Reporter(talk.file))
    lines = note_lines(bout, heard, with_marks(heard, ()), settings.default_length)
    facts = replace(note_facts(talk.file, "\n".join(lines), UTF8), headed=())  # its times are of no round's clock
    near = tuple(survey.begun[number] for number in begun_of(survey).of(survey.captions[0].name))
    return TalkSurvey(talk, survey, tuple(heard), facts, near)


def home_of(found: TalkSurvey, answers: Answers) -> Bout | None:
    """The begun bout that it is a talk on, as answered or as its name tells of one alone; None where one begins."""
    file = answers.get("bout") or (found.near[0].file if len(found.near) == 1 else NEW)
    return next((bout for bout in found.near if bout.file == file), None)


def questions_of_talk(found: TalkSurvey, answers: Answers) -> tuple[Question, ...]:
    """What is not answered yet: the bout, where it may be a begun one, the recording that the times count on, the
    rounds, and what `start` asks of a bout."""
    home = home_of(found, answers)
    asked = [_asked_recording(found, home)]
    if home is None:
        asked = [*_asked_fighters(found, answers), *asked, *_asked_rounds(found)]
    if found.near:
        files = tuple(bout.file for bout in found.near)
        text = f"{found.talk.file}: of which bout is it a talk? '{NEW}' begins one."
        first = files[0] if len(files) == 1 else NEW
        asked.insert(0, Question(key="bout", text=text, guess=first, choices=(*files, NEW), unasked=first))
    return tuple(question for question in asked if question.key not in answers)


def _asked_fighters(found: TalkSurvey, answers: Answers) -> list[Question]:
    """What `start` asks, and who fights where the name tells surnames alone."""
    guess = talk_bout(found, found.talk.file, answers)
    asked = list(open_questions(found.survey, gathering_of(guess), answers))
    key = f"fighters:{found.talk.file}"
    if not has_corners(guess) and all(question.key != key for question in asked):
        named = guess_of_sides(guess)
        text = f"Who fights? {named}, or in full, such as 'Ines Corvale (southpaw) v Rika Brandaal'."
        asked.insert(0, Question(key=key, text=text, guess=named, unasked=named))
    return asked


def _asked_recording(found: TalkSurvey, home: Bout | None) -> Question:
    guess = recording_of(found, home, {})
    others = [name for name in home.recordings if name != FOOTAGE] if home else []
    text = f"{found.talk.file}: do its times count on the bout's footage, or on the talk's own recording?"
    return Question(key="timed_on", text=text, guess=guess, choices=(*(others or [TALK]), FOOTAGE), unasked=guess)


def _asked_rounds(found: TalkSurvey) -> list[Question]:
    known = found.survey.settings.rounds
    if (known is not None and known.count is not None) or "rounds" in found.facts.labelled:
        return []
    heard = str(found.facts.rounds) if found.facts.rounds else ""
    text = f"How many rounds, and how long is one? Such as 10 x 3:00; '{LEAVE}' leaves it open."
    return [Question(key="rounds", text=text, guess=heard or LEAVE, unasked=heard)]


def read_talk_answers(found: TalkSurvey, given: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Answers by key; `fighters` stands for `fighters:talk.vtt`, as there is one file. Raises UsageError."""
    named = ((f"{key}:{found.talk.file}" if key in _OF_A_FILE else key, text) for key, text in given)
    return answers_to(lambda answers: questions_of_talk(found, answers), named)


def gathering_of(guess: BoutGuess) -> Gathering:
    return Gathering((guess,), (), ())


def recording_of(found: TalkSurvey, home: Bout | None, answers: Answers) -> str:
    """The recording that its times count on, as answered; else that of a begun bout which is called as it is, or its
    only one beside the footage; else the footage or the talk's own, by name and length."""
    others = [name for name in home.recordings if name != FOOTAGE] if home else []
    words = found.survey.captions[0].name.words
    files = {name: home.recordings[name].file for name in others} if home else {}
    called = [name for name, file in files.items() if file and facts_of_file(file).words == words]
    guess = _guessed_recording(found)
    if guess == TALK and others:
        guess = (called or others)[0]
    return answers.get("timed_on") or (called[0] if called else guess)


def talk_bout(found: TalkSurvey, file: str, answers: Answers, keep: bool = False) -> BoutGuess:
    """The bout to be, with the notes of the talk in `file`, and the talk itself beside them with `keep`."""
    captions = found.survey.captions[0]
    facts = replace(found.facts, file=file)
    if "rounds" in answers:
        said = {"rounds": answers["rounds"]} if answers["rounds"] else {}
        facts = replace(facts, rounds=0, labelled={**facts.labelled, **said})
    note = NoteFile(facts, captions.name, "notes")
    name = _without_kind(name_of_note(note))
    same, others = _recordings(captions.name, name, found.survey.recordings)
    on_footage = recording_of(found, None, answers) == FOOTAGE
    return BoutGuess(
        file=captions.file,
        notes=(note,),
        name=name,
        captions=(captions,) if keep else (),
        footage=tuple((same or others) if on_footage else others),
        spoken={} if on_footage else dict.fromkeys((file, captions.file), own_recording(found) or ""),
    )


def _guessed_recording(found: TalkSurvey) -> str:
    """The footage where the name says that it is spoken over, or is that of a recording and nothing else; but not
    where the rounds spoken of have no room in so short a time."""
    name = found.survey.captions[0].name
    last = max((one.start for one in found.heard if one.start is not None), default=0)
    if last < (found.facts.rounds - 1) * _FROM_BELL_TO_BELL:
        return TALK
    if _LIVE.intersection(name.words):
        return FOOTAGE
    same, _ = _recordings(name, name, found.survey.recordings)
    return FOOTAGE if same and _without_kind(name).words == name.words else TALK


def _without_kind(name: NameFacts) -> NameFacts:
    """Of a name with two fighters, what stands before words such as `talk` at its end, which tell of the recording."""
    if name.sides is None:
        return name
    title, words = name.title.split(), list(name.words)
    while len(title) > 1 and fold(title[-1]).strip("()[],.-") in in_notes.NOT_IN_NAMES:
        title.pop()
    while len(words) > 1 and words[-1] in in_notes.NOT_IN_NAMES:
        words.pop()
    return replace(name, title=" ".join(title).rstrip(" -,:;("), words=tuple(words))


def own_recording(found: TalkSurvey) -> str | None:
    """The one file of a recording that is called as the talk is."""
    name = found.survey.captions[0].name
    same, _ = _recordings(name, name, found.survey.recordings)
    return same[0] if len(same) == 1 else None


def _recordings(talk: NameFacts, bout: NameFacts, files: Iterable[str]) -> tuple[list[str], list[str]]:
    """Those that are called as the talk is, and others that are called as the bout is."""
    known = Known()
    known.add(0, [talk, bout], bout.sides, bout.date)
    names = {file: facts_of_file(file) for file in files}
    same = [file for file, name in names.items() if name.words == talk.words]
    return same, [file for file, name in names.items() if file not in same and known.of(name)]
