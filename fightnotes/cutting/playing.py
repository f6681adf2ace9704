"""Where a moment can be played: the recordings that it has a time on, and their files where they are at hand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

from fightnotes.clock import nominal
from fightnotes.errors import OpeningError, UnreadableFile
from fightnotes.model import FOOTAGE, Bout, Moment, Record, Recording, Segment, unknown_name
from fightnotes.model.moment import media_link, plain_seconds, shown_range
from fightnotes.reading.opening import allowed_folders, find_footage


class Playable(Record):
    """A moment on one recording of its bout."""

    bout: Bout
    name: str
    """Of the recording."""
    start: Fraction
    end: Fraction
    """Seconds from the recording's beginning."""
    path: Path | None
    """The file; None where it is not at hand."""
    why_not: str | None = None
    """Why it is not at hand, as a sentence."""

    @property
    def recording(self) -> Recording:
        return self.bout.recordings.get(self.name, Recording())

    @property
    def media_time(self) -> str:
        """In and out, as text."""
        return shown_range(self.start, self.end) or ""

    @property
    def timecode(self) -> str | None:
        """Of the frames that show at its in and out; None where no rate is given."""
        first, last = (self.recording.timecode(each) for each in (self.start, self.end))
        return first if last is None or last == first else f"{first}-{last}"

    @property
    def link(self) -> str | None:
        """To its file as the notes name it, with a temporal media fragment."""
        return media_link(self.recording, self.start, self.end)

    def as_json(self) -> dict[str, Any]:
        """Plain values for a player: seconds, frame counting, and what places a time in the rounds.

        `rate` is a fraction as a pair; `align` leads from this recording to the footage, on which the bells ring.
        """
        recording, rounds = self.recording, self.bout.rounds
        rate, align = recording.rate, recording.align
        placed = self.name == FOOTAGE or align is not None
        bells = self.bout.bells if rounds and placed else {}
        return {
            "start": plain_seconds(self.start),
            "end": plain_seconds(self.end),
            "rate": rate and [rate.numerator, rate.denominator],
            "frames_a_second": rate and nominal(rate),
            "drop_frame": recording.drop_frame,
            "first_frame": recording.first_frame,
            "align": [[float(own), float(footage)] for own, footage in recording.align.pairs]
            if recording.align
            else None,
            "bells": [[number, float(bell.time)] for number, bell in bells.items()],
            "round_length": rounds and float(rounds.length),
            "clock": rounds and rounds.clock,
        }


def ways_to_play(moment: Moment, library: Path, media_roots: Iterable[str]) -> tuple[Playable, ...]:
    """The recording that the moment is timed on, then the footage where it has a time there, too."""
    folders = allowed_folders(library, media_roots)
    return tuple(_playable(moment.bout, name, span, folders) for name, span in _spans(moment.segment))


def place_to_play(moment: Moment, library: Path, media_roots: Iterable[str]) -> tuple[Path, Fraction]:
    """The file, and seconds from its beginning: the recording that the moment is timed on, else the footage.

    Raises OpeningError where the moment has no media time, or none of its recordings is at hand; UnreadableFile for one
    that must not be opened.
    """
    named = list(_named(moment))
    if not named:
        raise OpeningError(f"{moment.place} has no time on a recording that its bout names")
    folders = allowed_folders(library, media_roots)
    for file, start in named:
        path = find_footage(file, folders)
        if path is not None:
            return path, start
    raise _not_at_hand([file for file, _ in named], folders)


def file_of(bout: Bout, recording: str, library: Path, media_roots: Iterable[str]) -> Path:
    """The file of a bout's recording, by its name.

    Raises UnknownName for a recording that the bout does not have, OpeningError where no file is named or none is at
    hand, and UnreadableFile for one that must not be opened.
    """
    if recording not in bout.recordings:
        raise unknown_name("recording", recording, bout.recordings)
    return _file_of(bout, recording, allowed_folders(library, media_roots))


def _spans(segment: Segment) -> Iterator[tuple[str, tuple[Fraction, Fraction]]]:
    """The recordings on which it has a time, its own before the footage."""
    for name in dict.fromkeys((segment.timed_on, FOOTAGE)):
        if span := segment.span_on(name):
            yield name, span


def _named(moment: Moment) -> Iterator[tuple[str, Fraction]]:
    for name, (start, _) in _spans(moment.segment):
        recording = moment.bout.recordings.get(name)
        if recording is not None and recording.file is not None:
            yield recording.file, max(start, Fraction(0))


def _file_of(bout: Bout, name: str, folders: Sequence[Path]) -> Path:
    file = bout.recordings.get(name, Recording()).file
    if file is None:
        raise OpeningError(f"{bout.file} names no file for its recording '{name}'")
    path = find_footage(file, folders)
    if path is None:
        raise _not_at_hand([file], folders)
    return path


def _playable(bout: Bout, name: str, span: tuple[Fraction, Fraction], folders: Sequence[Path]) -> Playable:
    start, end = (max(each, Fraction(0)) for each in span)
    try:
        path = _file_of(bout, name, folders)
    except (OpeningError, UnreadableFile) as error:
        return Playable(bout=bout, name=name, start=start, end=end, path=None, why_not=str(error))
    return Playable(bout=bout, name=name, start=start, end=end, path=path)


def _not_at_hand(files: Sequence[str], folders: Sequence[Path]) -> OpeningError:
    named, where = (", ".join(dict.fromkeys(map(str, paths))) for paths in (files, folders))
    return OpeningError(f"not at hand: {named}; looked in {where}")
