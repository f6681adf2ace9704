"""A bout's front matter: from YAML to a `Bout`."""

from __future__ import annotations

import datetime
import posixpath
from fractions import Fraction
from typing import get_args

from fightnotes.clock import (
    Alignment,
    Bell,
    ClockError,
    RoundClock,
    RoundFormat,
    frame_of,
    parse_media_time,
    parse_rate,
    parse_time,
    parse_timecode,
    resolve_bells,
)
from fightnotes.model import FOOTAGE, Bout, Fighter, Recording, Settings, Source, SourceKind
from fightnotes.reading.people import fighter_from
from fightnotes.reading.placed_yaml import Item, Reporter, items_of, mapping_of, parsed, text_of, truth
from fightnotes.reading.placing import drop_is_possible, seconds_on

_BOUT = ("bout", "title", "date", "rounds", "red", "blue", "media", "recordings", "sources", "analyst")
_ROUNDS = ("count", "length", "rest", "clock")
_RECORDING = ("file", "rate", "drop_frame", "start")
_SOURCE = ("file", "kind", "analyst", "timed_on")
_KINDS: tuple[str, ...] = get_args(SourceKind)
_TIME = "a time such as 0:04:10 or 00:04:10:00"


def bout_from(root: Item | None, file: str, settings: Settings, reporter: Reporter) -> Bout:
    """The bout that the front matter describes; without one, a bout named after its file.

    `file` is relative to the library. What cannot be read is reported and left out.
    """
    found = mapping_of(root, _BOUT, reporter) if root else {}
    identity = text_of(found.get("bout"), reporter) or posixpath.splitext(posixpath.basename(file))[0]
    known = {fighter.id: fighter for fighter in settings.fighters}
    red, blue = _corners(found, known, reporter)
    rounds = rounds_from(found.get("rounds"), reporter) or settings.rounds
    recordings, bells = _recordings_from(found, rounds, reporter)
    return Bout(
        id=identity,
        file=file,
        title=text_of(found.get("title"), reporter) or identity,
        date=parsed(found.get("date"), datetime.date.fromisoformat, "a date such as 2031-03-08", reporter),
        rounds=rounds,
        bells=bells,
        red=red,
        blue=blue,
        recordings=recordings,
        sources=_sources_from(found.get("sources"), posixpath.dirname(file), recordings, reporter),
        analyst=text_of(found.get("analyst"), reporter),
    )


def rounds_from(item: Item | None, reporter: Reporter) -> RoundFormat | None:
    """How rounds are timed: three minutes, one of rest and a clock that runs down unless it says otherwise."""
    if item is None:
        return None
    found = mapping_of(item, _ROUNDS, reporter)
    clock = text_of(found.get("clock"), reporter) or "down"
    if clock not in ("down", "up"):
        reporter.of(found["clock"], "down or up")
        clock = "down"
    length = parsed(found.get("length"), parse_media_time, "a length such as 3:00", reporter)
    rest = parsed(found.get("rest"), parse_media_time, "a length such as 1:00", reporter)
    try:
        return RoundFormat(
            count=parsed(found.get("count"), int, "a whole number of rounds", reporter),
            length=Fraction(180) if length is None else length,
            rest=Fraction(60) if rest is None else rest,
            clock=clock,  # type: ignore[arg-type]
        )
    except ClockError as error:
        reporter.of(item, error.expected, error.found)
        return None


def _corners(
    found: dict[str, Item], known: dict[str, Fighter], reporter: Reporter
) -> tuple[Fighter | None, Fighter | None]:
    red = fighter_from(found["red"], known, reporter) if "red" in found else None
    blue = fighter_from(found["blue"], known, reporter) if "blue" in found else None
    if red and blue and red.id == blue.id:
        reporter.of(found["blue"], f"another id than red's '{red.id}': give one of them `id:`")
        blue = blue.model_copy(update={"id": f"{blue.id}-2"})
    return red, blue


def _recordings_from(
    found: dict[str, Item], rounds: RoundFormat | None, reporter: Reporter
) -> tuple[dict[str, Recording], dict[int, Bell]]:
    """The footage from `media`, the others from `recordings`, and the bells on the footage."""
    recordings: dict[str, Recording] = {}
    bells: dict[int, Bell] = {}
    if "media" in found:
        keys = mapping_of(found["media"], (*_RECORDING, "bells"), reporter)
        recordings[FOOTAGE] = _recording_from(keys, reporter)
        bells = _bells_from(keys.get("bells"), recordings[FOOTAGE], rounds, reporter)
    if "recordings" in found and found["recordings"].entries is None:
        reporter.of(found["recordings"], "a mapping of recording names")
    for name, item in (found["recordings"].entries or ()) if "recordings" in found else ():
        label = name.text or ""
        if label in ("", FOOTAGE):
            reporter.of(name, f"a recording's name; '{FOOTAGE}' is what `media` describes")
            continue
        keys = mapping_of(item, (*_RECORDING, "align"), reporter)
        recording = _recording_from(keys, reporter)
        align = _alignment_from(keys.get("align"), recording, recordings.get(FOOTAGE), reporter)
        recordings[label] = recording.model_copy(update={"align": align})
    return recordings, bells


def _recording_from(keys: dict[str, Item], reporter: Reporter) -> Recording:
    rate = parsed(keys.get("rate"), parse_rate, "a rate such as 25 or 30000/1001", reporter)
    drop = parsed(keys.get("drop_frame"), truth, "true or false", reporter) or False
    if drop and not drop_is_possible(rate):
        reporter.of(keys["drop_frame"], "a rate of 30000/1001 or 60000/1001 beside drop_frame: true")
        drop = False
    first_frame = 0
    if "start" in keys:
        try:
            if rate is None:
                raise ClockError("a start timecode", "a rate to count it at")
            first_frame = frame_of(parse_timecode(text_of(keys["start"], reporter) or ""), rate)
        except ClockError as error:
            reporter.of(keys["start"], error.expected, error.found)
    return Recording(file=text_of(keys.get("file"), reporter), rate=rate, drop_frame=drop, first_frame=first_frame)


def _seconds_from(item: Item, recording: Recording | None, reporter: Reporter) -> Fraction | None:
    try:
        time = parse_time(text_of(item, reporter) or "")
        if isinstance(time, RoundClock):
            raise ClockError(item.shown(), _TIME)
        return seconds_on(recording, time)
    except ClockError as error:
        reporter.of(item, error.expected, error.found)
        return None


def _bells_from(
    item: Item | None, footage: Recording, rounds: RoundFormat | None, reporter: Reporter
) -> dict[int, Bell]:
    if item is None:
        return {}
    if item.entries is None or rounds is None:
        reporter.of(item, "a mapping of round to time, and `rounds` to count them with")
        return {}
    given: dict[int, Fraction] = {}
    for key, value in item.entries:
        number = parsed(key, int, "a round's number", reporter)
        seconds = None if value.empty else _seconds_from(value, footage, reporter)
        if number is not None and seconds is not None:
            given[number] = seconds
    try:
        return resolve_bells(given, rounds)
    except ClockError as error:
        reporter.of(item, error.expected, error.found)
        return {}


def _alignment_from(
    item: Item | None, recording: Recording, footage: Recording | None, reporter: Reporter
) -> Alignment | None:
    if item is None:
        return None
    pairs: list[tuple[Fraction, Fraction]] = []
    for pair in items_of(item, reporter):
        sides = pair.items or ()
        if len(sides) != 2:
            reporter.of(pair, "a pair [time in this recording, time in the footage]")
            continue
        here = _seconds_from(sides[0], recording, reporter)
        there = _seconds_from(sides[1], footage, reporter)
        if here is not None and there is not None:
            pairs.append((here, there))
    try:
        return Alignment(tuple(pairs)) if pairs else None
    except ClockError as error:
        reporter.of(item, error.expected, error.found)
        return None


def _sources_from(
    item: Item | None, folder: str, recordings: dict[str, Recording], reporter: Reporter
) -> tuple[Source, ...]:
    """Sources with paths that stood relative to the bout's file made relative to the library."""
    sources: list[Source] = []
    for child in items_of(item, reporter) if item else ():
        keys = mapping_of(child, _SOURCE, reporter)
        written = text_of(keys.get("file"), reporter)
        if written is None:
            reporter.of(child, "a source with a file")
            continue
        path = posixpath.normpath(posixpath.join(folder, written))
        kind = text_of(keys.get("kind"), reporter) or ("notes" if path.endswith(".md") else "transcript")
        if kind not in _KINDS:
            reporter.of(keys["kind"], f"one of {', '.join(_KINDS)}")
            continue
        timed_on = text_of(keys.get("timed_on"), reporter) or FOOTAGE
        if timed_on != FOOTAGE and timed_on not in recordings:
            reporter.of(keys["timed_on"], f"one of {', '.join((FOOTAGE, *recordings))}")
        analyst = text_of(keys.get("analyst"), reporter)
        sources.append(Source(file=path, kind=kind, analyst=analyst, timed_on=timed_on))  # type: ignore[arg-type]
    return tuple(sources)
