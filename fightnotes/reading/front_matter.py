"""A bout's front matter: from YAML to a `Bout`."""

from __future__ import annotations

import datetime
import posixpath
from collections.abc import Iterable, Sequence
from fractions import Fraction
from pathlib import Path
from typing import get_args

from fightnotes.clock import (
    Alignment,
    Bell,
    ClockError,
    RoundClock,
    RoundFormat,
    format_media_time,
    frame_of,
    parse_rate,
    parse_time,
    parse_timecode,
    resolve_bells,
)
from fightnotes.model import FOOTAGE, Bout, Fighter, Recording, Settings, Source, SourceKind
from fightnotes.reading.dates import TwoDates, date_of
from fightnotes.reading.opening import fault_of_name
from fightnotes.reading.people import fighter_from
from fightnotes.reading.placed_yaml import Item, Reporter, items_of, mapping_of, parsed, text_of, truth
from fightnotes.reading.placing import drop_is_possible, seconds_on
from fightnotes.reading.round_format import rounds_from
from fightnotes.reading.values import round_of

_BOUT = ("bout", "title", "date", "rounds", "red", "blue", "media", "recordings", "sources", "analyst")
_RECORDING = ("file", "rate", "drop_frame", "start")
_SOURCE = ("file", "kind", "analyst", "timed_on")
_TIME = "a time such as 0:04:10 or 00:04:10:00"


def bout_from(root: Item | None, file: str, settings: Settings, folders: Sequence[Path], reporter: Reporter) -> Bout:
    """The bout that the front matter describes; without one, a bout named after its file.

    `file` is relative to the library; footage must lie in one of `folders`. What cannot be read is reported and left
    out.
    """
    found = mapping_of(root, _BOUT, reporter) if root else {}
    identity = text_of(found.get("bout"), reporter) or posixpath.splitext(posixpath.basename(file))[0]
    known = {fighter.id: fighter for fighter in settings.fighters}
    red, blue = _corners(found, known, reporter)
    rounds = rounds_from(found.get("rounds"), settings.rounds, reporter)
    recordings, bells = _recordings_from(found, rounds, folders, reporter)
    return Bout(
        id=identity,
        id_place=(found["bout"].line, found["bout"].column) if "bout" in found else (1, 1),
        file=file,
        title=text_of(found.get("title"), reporter) or identity,
        date=_date_from(found.get("date"), reporter),
        rounds=rounds,
        bells=bells,
        red=red,
        blue=blue,
        recordings=recordings,
        sources=_sources_from(found.get("sources"), file, recordings, reporter),
        analyst=text_of(found.get("analyst"), reporter),
    )


def _date_from(item: Item | None, reporter: Reporter) -> datetime.date | None:
    text = text_of(item, reporter)
    if item is None or text is None:
        return None
    try:
        return date_of(text)
    except TwoDates as error:
        reporter.of(item, f"{' or '.join(day.isoformat() for day in error.days)}, whichever is meant")
    except ValueError:
        reporter.of(item, "a date such as 2031-03-08")
    return None


def _corners(
    found: dict[str, Item], known: dict[str, Fighter], reporter: Reporter
) -> tuple[Fighter | None, Fighter | None]:
    red = fighter_from(found["red"], known, reporter) if "red" in found else None
    blue = fighter_from(found["blue"], known, reporter) if "blue" in found else None
    if red and blue and red.id == blue.id:
        reporter.of(found["blue"], "an id of its own: give one of the two `id:`", f"red's id '{red.id}' again")
        blue = blue.model_copy(update={"id": f"{blue.id}-2"})
    return red, blue


def _recordings_from(
    found: dict[str, Item], rounds: RoundFormat | None, folders: Sequence[Path], reporter: Reporter
) -> tuple[dict[str, Recording], dict[int, Bell]]:
    """The footage from `media`, the others from `recordings`, and the bells on the footage."""
    recordings: dict[str, Recording] = {}
    bells: dict[int, Bell] = {}
    if "media" in found:
        keys = _file_or_mapping(found["media"], (*_RECORDING, "bells"), reporter)
        recordings[FOOTAGE] = _recording_from(keys, folders, reporter)
        bells = _bells_from(keys.get("bells"), recordings[FOOTAGE], rounds, reporter)
    if "recordings" in found and found["recordings"].entries is None:
        reporter.of(found["recordings"], "a mapping of recording names")
    for name, item in (found["recordings"].entries or ()) if "recordings" in found else ():
        label = name.text or ""
        if label in ("", FOOTAGE):
            reporter.of(name, f"a recording's name; '{FOOTAGE}' is what `media` describes")
            continue
        keys = _file_or_mapping(item, (*_RECORDING, "align"), reporter)
        recording = _recording_from(keys, folders, reporter)
        align = _alignment_from(keys.get("align"), recording, recordings.get(FOOTAGE), reporter)
        recordings[label] = recording.model_copy(update={"align": align})
    return recordings, bells


def _file_or_mapping(item: Item, known: Iterable[str], reporter: Reporter) -> dict[str, Item]:
    """The entries; a text alone is the file."""
    return {"file": item} if item.text is not None else mapping_of(item, known, reporter)


def _recording_from(keys: dict[str, Item], folders: Sequence[Path], reporter: Reporter) -> Recording:
    rate = parsed(keys.get("rate"), parse_rate, "a rate such as 25 or 30000/1001", reporter)
    drop = parsed(keys.get("drop_frame"), truth, "true or false", reporter) or False
    if drop and not drop_is_possible(rate):
        reporter.of(keys["drop_frame"], "a rate of 30000/1001 or 60000/1001 beside drop_frame: true")
        drop = False
    first_frame = _first_frame_from(keys["start"], rate, reporter) if "start" in keys else 0
    file = _footage_from(keys.get("file"), folders, reporter)
    return Recording(file=file, rate=rate, drop_frame=drop, first_frame=first_frame)


def _footage_from(item: Item | None, folders: Sequence[Path], reporter: Reporter) -> str | None:
    file = text_of(item, reporter)
    fault = fault_of_name(file, folders) if file else None
    if item is not None and fault is not None:
        found, expected = fault
        reporter.of(item, expected, found)
        return None
    return file


def _first_frame_from(item: Item, rate: Fraction | None, reporter: Reporter) -> int:
    expected = "the timecode of the first frame, such as 10:00:00:00, and a rate to count it at"
    timecode = parsed(item, parse_timecode, expected, reporter)
    if timecode is None:
        return 0
    if rate is None:
        reporter.of(item, expected)
        return 0
    try:
        return frame_of(timecode, rate)
    except ClockError as error:
        reporter.of(item, error.expected, error.found)
        return 0


def _seconds_from(item: Item, recording: Recording | None, reporter: Reporter) -> Fraction | None:
    if item.text is None:
        reporter.of(item, _TIME)
        return None
    try:
        time = parse_time(item.text)
        if isinstance(time, RoundClock):
            raise ClockError(item.shown(), _TIME)
        return seconds_on(recording, time)
    except ClockError as error:
        reporter.of(item, error.expected, error.found)
        return None


def _bells_from(
    item: Item | None, footage: Recording, rounds: RoundFormat | None, reporter: Reporter
) -> dict[int, Bell]:
    """The bells, given and inferred; one that is out of order or of a round that is not is reported and left out."""
    if item is None:
        return {}
    if item.entries is None or rounds is None:
        reporter.of(item, "a mapping of round to time, and `rounds` to count them with")
        return {}
    read: dict[int, tuple[Item, Fraction]] = {}
    for key, value in item.entries:
        number = parsed(key, round_of, "a round's number", reporter)
        seconds = None if value.empty else _seconds_from(value, footage, reporter)
        if number in read:
            reporter.of(key, "each round once")
        elif number is not None and rounds.count is not None and number > rounds.count:
            reporter.of(key, f"a round from 1 to {rounds.count}")
        elif number is not None and seconds is not None:
            read[number] = value, seconds
    given: dict[int, Fraction] = {}
    earlier: tuple[int, Fraction] | None = None
    for number, (value, seconds) in sorted(read.items(), key=lambda entry: entry[0]):
        if earlier and seconds <= earlier[1]:
            reporter.of(value, f"a time after the bell of round {earlier[0]} at {format_media_time(earlier[1])}")
            continue
        given[number] = seconds
        earlier = number, seconds
    return resolve_bells(given, rounds)


def _alignment_from(
    item: Item | None, recording: Recording, footage: Recording | None, reporter: Reporter
) -> Alignment | None:
    """The pairs that ascend on both sides; others are reported and left out."""
    pairs: list[tuple[Fraction, Fraction]] = []
    for pair in items_of(item, reporter) if item else ():
        sides = pair.items or ()
        if len(sides) != 2:
            reporter.of(pair, "a pair [time in this recording, time in the footage]")
            continue
        here = _seconds_from(sides[0], recording, reporter)
        there = _seconds_from(sides[1], footage, reporter)
        if here is None or there is None:
            continue
        try:
            Alignment((*pairs[-1:], (here, there)))
            pairs.append((here, there))
        except ClockError as error:
            reporter.of(pair, error.expected, error.found)
    return Alignment(tuple(pairs)) if pairs else None


def _sources_from(
    item: Item | None, bout_file: str, recordings: dict[str, Recording], reporter: Reporter
) -> tuple[Source, ...]:
    """Sources with paths that stood relative to the bout's file made relative to the library."""
    sources: dict[str, Source] = {}
    for child in items_of(item, reporter) if item else ():
        keys = _file_or_mapping(child, _SOURCE, reporter)
        written = text_of(keys.get("file"), reporter)
        if written is None:
            reporter.of(child, "a source with a file")
            continue
        path = posixpath.normpath(posixpath.join(posixpath.dirname(bout_file), written))
        if posixpath.isabs(path) or path == ".." or path.startswith("../"):
            reporter.of(keys["file"], "a file inside the library, by its path from this one")
            continue
        if path in sources or path == bout_file:
            reporter.of(keys["file"], "each file once, and not the bout's own")
            continue
        kind: SourceKind | None = "notes" if path.lower().endswith(".md") else "transcript"
        if "kind" in keys:
            kind = parsed(keys["kind"], _kind, f"one of {', '.join(get_args(SourceKind))}", reporter)
        timed_on = text_of(keys.get("timed_on"), reporter) or FOOTAGE
        if timed_on != FOOTAGE and timed_on not in recordings:
            reporter.of(keys["timed_on"], f"one of {', '.join(dict.fromkeys((FOOTAGE, *recordings)))}")
        if kind is not None:
            analyst = text_of(keys.get("analyst"), reporter)
            sources[path] = Source(file=path, kind=kind, analyst=analyst, timed_on=timed_on)
    return tuple(sources.values())


def _kind(text: str) -> SourceKind:
    """Raises ValueError."""
    if text == "notes":
        return "notes"
    if text == "transcript":
        return "transcript"
    raise ValueError(text)
