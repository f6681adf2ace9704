"""The front matter of a bout to be: what its files tell, as YAML that readers of 1.1 and 1.2 read alike."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator, Mapping
from fractions import Fraction

from fightnotes.clock import RoundFormat, drop_allowed, format_media_time, parse_rate
from fightnotes.editing.vocabulary_text import scalar
from fightnotes.model import FOOTAGE, Settings
from fightnotes.reading.file_names import BOUTS_FOLDER
from fightnotes.reading.placed_yaml import Item, Reporter
from fightnotes.reading.round_format import rounds_from
from fightnotes.starting.bouts import Answers, BoutGuess, Gathering
from fightnotes.starting.corners import Corner, corners_of, names_of_sides
from fightnotes.starting.encodings import UTF8
from fightnotes.starting.matching import Words
from fightnotes.starting.questions import clocks_of, direction_told, headed_of, rate_key, usual_direction
from fightnotes.starting.survey import CaptionsFile, NoteFile, copy_of

KEYS = ("bout", "title", "date", "rounds", "red", "blue", "media", "recordings", "sources", "analyst")
_ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_LENGTHS = tuple(Fraction(60 * minutes) for minutes in (3, 5, 10, 15, 20))
"""What a round lasts whose clock shows so much (common practice, no source)."""
_SHORT = Fraction(120)
_CLOCKS_OF_SHORT = 20
"""So many clocks, none above 2:00, show that a round lasts no longer: of a round of 3:00, where moments fall anywhere,
they would do so once in 3,325 bouts, (2/3)^20."""


def matter_lines(
    guess: BoutGuess, identity: str, file: str, gathering: Gathering, answers: Answers, settings: Settings
) -> list[str]:
    """The lines between the dashes, without endings, for the bout's file `file`.

    What front matter of its own notes says already is left out where these lie in that file; else it goes before what
    is guessed, and is taken over.
    """
    in_place = bool(guess.notes) and guess.notes[0].file == file
    own = guess.notes[0].facts.matter if guess.notes else {}
    red, blue = corners_of(guess, answers, settings)
    made: dict[str, list[str]] = {
        "bout": [scalar(identity)],
        "title": [scalar(_title_of(guess, answers, red, blue))],
        "date": [day_of(guess, answers)],
        "rounds": [_rounds_of(guess, gathering, answers, settings)],
        "red": [_corner_text(red)],
        "blue": [_corner_text(blue)],
        "media": [_media_of(guess, answers)],
        "recordings": [_recordings_of(guess)],
        "sources": list(_sources_of(guess, file, own)),
        "analyst": [_analyst_of(guess, answers)],
    }
    if in_place:
        made = {key: values for key, values in made.items() if key not in own}
    else:
        made |= {key: [_taken_over(key, own[key])] for key in KEYS if key in own and key not in ("bout", "sources")}
    lines: list[str] = []
    for key in KEYS:
        values = [value for value in made.get(key, ()) if value]
        if key == "sources" and values:
            lines += ["sources:", *(f"  - {value}" for value in values)]
        else:
            lines += [f"{key}: {value}" for value in values]
    return lines


def flow(item: Item) -> str:
    """A value of front matter on one line."""
    if item.entries is not None:
        return "{" + ", ".join(f"{flow(key)}: {flow(value)}" for key, value in item.entries) + "}"
    if item.items is not None:
        return "[" + ", ".join(map(flow, item.items)) + "]"
    return "null" if item.text is None else scalar(item.text)


def _taken_over(key: str, item: Item) -> str:
    return item.text if key == "date" and item.text and _ISO_DATE.fullmatch(item.text) else flow(item)


def _mapping(values: Mapping[str, str]) -> str:
    """Of texts that are YAML already; empty ones are left out."""
    return "{" + ", ".join(f"{key}: {value}" for key, value in values.items() if value) + "}"


def _title_of(guess: BoutGuess, answers: Answers, red: Corner | None, blue: Corner | None) -> str:
    """The words of the name or heading; where these name no two fighters as names are written, the fighters."""
    title = guess.name.title
    if red and blue and (title.islower() or title.isupper()):
        return " v ".join(names_of_sides(guess, answers) or (red.name, blue.name))
    return title or guess.file


def day_of(guess: BoutGuess, answers: Answers) -> str:
    """By ISO 8601; empty where it is not known, or may be either of two."""
    answered = answers.get(f"date:{guess.file}", "")
    return answered or (guess.name.date.isoformat() if guess.name.date else "")


def _rounds_of(guess: BoutGuess, gathering: Gathering, answers: Answers, settings: Settings) -> str:
    """What the notes show: how many, the way their clock runs, and a length other than the usual."""
    said = _labelled_rounds(guess)
    seen = max((facts.rounds for facts in guess.facts), default=0)
    count = max(seen, said.count or 0 if said else 0)
    if not count:
        return ""
    default = settings.rounds
    usual = default.length if default else _LENGTHS[0]
    clocks = clocks_of(guess, answers)
    longest = max(clocks, default=Fraction(0))
    fitting = (*([_SHORT] if len(clocks) >= _CLOCKS_OF_SHORT else []), usual, *_LENGTHS)
    length = said.length if said else next((each for each in fitting if each >= longest), None)
    clock = direction_told(guess, answers) or (
        "" if default else answers.get("clock") or usual_direction(gathering, answers)
    )
    return _mapping(
        {
            "count": str(count),
            "length": scalar(format_media_time(length)) if length and (said or length != usual) else "",
            "clock": clock if clocks and not (default and default.clock == clock) else "",
            "times": "clock" if headed_of(guess, answers) else "",
        }
    )


def _labelled_rounds(guess: BoutGuess) -> RoundFormat | None:
    """Of a line such as `Rounds: 10 x 3:00`, or front matter of that form."""
    written = guess.labelled.get("rounds")
    return rounds_from(Item(1, 1, text=written), None, Reporter(guess.file)) if written else None


def _corner_text(corner: Corner | None) -> str:
    if corner is None:
        return ""
    values = {"id": scalar(corner.id) if corner.id else "", "name": scalar(corner.name), "stance": corner.stance or ""}
    return _mapping(values)


def _media_of(guess: BoutGuess, answers: Answers) -> str:
    chosen = answers.get(f"footage:{guess.file}") or (guess.footage[0] if len(guess.footage) == 1 else "")
    rate = answers.get(rate_key(guess) or "", "")
    drop = bool(rate) and drop_allowed(parse_rate(rate)) and any(facts.drop_frame for facts in guess.facts)
    values = {
        "file": scalar(chosen) if chosen else "",
        "rate": scalar(rate) if "/" in rate else rate,
        "drop_frame": "true" if drop else "",
    }
    return _mapping(values) if any(values.values()) else ""


def _recordings_of(guess: BoutGuess) -> str:
    files = {name: guess.spoken[file] for file, name in _spoken_names(guess).items()}
    values = {scalar(name): _mapping({"file": scalar(file) if file else ""}) for name, file in files.items()}
    return _mapping(values) if values else ""


def _spoken_names(guess: BoutGuess) -> dict[str, str]:
    """By file that is spoken, a name for the recording that it was made from: its words beyond the bout's."""
    names: dict[str, str] = {}
    by_words: dict[tuple[Words, str], str] = {}
    files: tuple[CaptionsFile | NoteFile, ...] = (*guess.captions, *guess.notes)
    for one in files:
        if one.file in guess.spoken:
            base = "-".join(one.name.words[len(guess.name.words) :]) or "talk"
            name, number = base, 2
            while name in (*names.values(), FOOTAGE):
                name, number = f"{base}-{number}", number + 1
            names[one.file] = by_words.setdefault((one.name.words, guess.spoken[one.file]), name)
    return names


def _sources_of(guess: BoutGuess, file: str, own: Mapping[str, Item]) -> Iterator[str]:
    """Its further notes and its captions, by their path from the bout's file; those that are named already first."""
    named = list(_named_before(guess, own)) if guess.notes and guess.notes[0].file != file else []
    yield from (text for _, text in named)
    known = {path for path, _ in named}
    spoken = _spoken_names(guess)
    for note in guess.notes:
        path = note.file if note.facts.encoding == UTF8 else copy_of(note.file)
        if note.file != file and path not in known:
            analyst = note.facts.matter.get("analyst") if note != guess.notes[0] else None
            more = {
                "analyst": scalar(analyst.text) if analyst and analyst.text else "",
                "timed_on": scalar(spoken[note.file]) if note.file in spoken else "",
            }
            yield _mapping({"file": scalar(_from_bouts(path)), "kind": "notes", **more})
    for captions in guess.captions:
        path = captions.file if captions.encoding == UTF8 else copy_of(captions.file)
        if path not in known:
            timed_on = scalar(spoken[captions.file]) if captions.file in spoken else ""
            yield _mapping({"file": scalar(_from_bouts(path)), "kind": "transcript", "timed_on": timed_on})


def _named_before(guess: BoutGuess, own: Mapping[str, Item]) -> Iterator[tuple[str, str]]:
    """The sources of front matter that is taken over: path from the library, and the entry as it is from `bouts/`."""
    listed = own.get("sources")
    folder = posixpath.dirname(guess.notes[0].file)
    for item in () if listed is None else listed.items or (listed,):
        written = item.text or next((value.text for key, value in item.entries or () if key.text == "file"), None)
        if not written:
            continue
        path = posixpath.normpath(posixpath.join(folder, written))
        others = {flow(key): flow(value) for key, value in item.entries or () if key.text != "file"}
        yield path, _mapping({"file": scalar(_from_bouts(path)), **others})


def _from_bouts(file: str) -> str:
    return posixpath.relpath(file, BOUTS_FOLDER)


def _analyst_of(guess: BoutGuess, answers: Answers) -> str:
    analyst = guess.labelled.get("analyst") or answers.get("analyst") or ""
    return scalar(analyst) if analyst else ""
