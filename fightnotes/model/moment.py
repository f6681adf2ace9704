"""A moment: a segment in its bout, and the one way in which a person and a script are shown it."""

from __future__ import annotations

from fractions import Fraction
from typing import Any
from urllib.parse import quote

from fightnotes.clock import format_range
from fightnotes.model.bout import FOOTAGE, Bout, Record, Recording
from fightnotes.model.segment import ACT_KEYS, Segment

MOMENT_COLUMNS = (
    "bout", "file", "line", "start", "end", "timed_on", "round", "round_clock", "about", "text", "tags", "by", "on",
    "outcome", "target", "inferred", "analyst", "link",
)  # fmt: skip
"""Keys of `Moment.as_json` that a table of plain values has."""


class Moment(Record):
    segment: Segment
    bout: Bout

    @property
    def place(self) -> str:
        """`file:line`"""
        return self.segment.place

    @property
    def text(self) -> str:
        """What the segment says, on one line."""
        return " ".join(self.segment.text.split())

    @property
    def quoted(self) -> str:
        """Its own words, on one line; its tags and fields where there are none."""
        return self.text or self.marks

    @property
    def quoted_pieces(self) -> tuple[tuple[str, bool], ...]:
        """`quoted` piece by piece, each with whether a query's words met it; a moment alone answers none."""
        return ((self.quoted, False),)

    @property
    def media_time(self) -> str | None:
        """In and out on the recording, as text."""
        return shown_range(self.segment.start, self.segment.end)

    @property
    def round_clock(self) -> str | None:
        """In and out on the round clock, as text."""
        return shown_range(self.segment.clock_start, self.segment.clock_end)

    @property
    def recording(self) -> str | None:
        """The recording that its times count on, where that is not the footage."""
        return None if self.segment.timed_on == FOOTAGE else self.segment.timed_on

    @property
    def where_in_bout(self) -> str:
        """Round and round clock, or what part of the bout lies there instead."""
        segment = self.segment
        if segment.period == "before":
            return "before the first bell"
        number = f"R{segment.round}" if segment.round else ""
        if segment.period == "rest":
            return f"rest after {number}"
        if segment.period == "after":
            return f"after {number}, the last"
        inferred = " (bell inferred)" if segment.bell_inferred else ""
        return f"{number} {self.round_clock or ''}".strip() + inferred

    @property
    def where(self) -> tuple[str, ...]:
        """A line for the bout, one for the part of it, and one for the time on the recording, where there are such."""
        recording = f" of {self.recording}" if self.recording else ""
        times = (self.where_in_bout, f"{self.media_time}{recording}" if self.media_time else "")
        about = "about " if self.segment.about else ""
        return self.bout.id, *((about + time for time in times if time) if any(times) else ("untimed",))

    @property
    def marks(self) -> str:
        """Its tags and fields, as they are written."""
        return " ".join((*(f"#{tag}" for tag in self.segment.tag_names), *self.written_fields))

    @property
    def written_fields(self) -> tuple[str, ...]:
        """Its fields, as they are written: `key:value` each."""
        return tuple(f"{key}:{value}" for key in ACT_KEYS for value in self.segment.all_of(key))

    @property
    def inferred(self) -> tuple[str, ...]:
        """What its words tell of fields that nobody wrote, `key:value` with the probability, an act each."""
        return tuple(
            " ".join(f"{each.key}:{each.value} ({each.probability:.2f})" for each in act.fields)
            for act in self.segment.inferred
        )

    @property
    def repaired(self) -> tuple[str, ...]:
        """Words of a transcript that stand for what was heard, each once."""
        said = ((one.heard, self.segment.text[one.begin : one.stop]) for one in self.segment.repairs)
        return tuple(f"{meant} (heard “{heard}”)" for heard, meant in dict.fromkeys(said))

    @property
    def link(self) -> str | None:
        """To the moment in its recording, with a temporal media fragment."""
        return media_link(self.bout.recordings.get(self.segment.timed_on), self.segment.start, self.segment.end)

    def as_json(self) -> dict[str, Any]:
        """Plain values: times as seconds, dates as ISO 8601.

        A field that nobody wrote has what is inferred of it, and `inferred` says so, act by act.
        """
        segment, bout = self.segment, self.bout
        times = ("start", "end", "footage_start", "footage_end")
        return {
            "bout": bout.id,
            "title": bout.title,
            "date": bout.date and bout.date.isoformat(),
            "file": segment.file,
            "line": segment.line,
            "kind": segment.kind,
            "timed_on": segment.timed_on,
            **{key: plain_seconds(getattr(segment, key)) for key in times},
            "round": segment.round,
            "round_clock": self.round_clock,
            "about": segment.about,
            "period": segment.period,
            "bell_inferred": segment.bell_inferred,
            "pairing": segment.pairing,
            "text": segment.text,
            "heard": segment.heard if segment.repairs else None,
            "repairs": [one.model_dump() for one in segment.repairs],
            "tags": list(segment.tag_names),
            **{key: list(segment.known(key)) for key in ACT_KEYS},
            "inferred": [[each.model_dump(mode="json") for each in act.fields] for act in segment.inferred],
            "analyst": segment.analyst,
            "link": self.link,
        }


def media_link(recording: Recording | None, start: Fraction | None, end: Fraction | None) -> str | None:
    """`file.mp4#t=10,20`: the file as it is named, with a `time_fragment`."""
    if recording is None or recording.file is None or start is None:
        return None
    return f"{quote(recording.file)}#{time_fragment(start, end)}"


def time_fragment(start: Fraction, end: Fraction | None) -> str:
    """`t=10,20`: W3C Media Fragments URI 1.0 (basic), 4.2.1, in normal play time seconds.

    A moment that ends where it begins has its begin alone: a fragment's end must be the later one.
    """
    begin, stop = _npt(start), _npt(max(start, end or start))
    return f"t={begin}" + (f",{stop}" if stop != begin else "")


def _npt(seconds: Fraction) -> str:
    """To a millisecond, without an exponent and without zeros that say nothing."""
    return f"{float(seconds):.3f}".rstrip("0").rstrip(".")


def plain_seconds(seconds: Fraction | None) -> float | None:
    """To a microsecond."""
    return None if seconds is None else round(float(seconds), 6)


def shown_range(start: Fraction | None, end: Fraction | None) -> str | None:
    """To a hundredth: what a person reads; the exact times stay in the segment."""
    return format_range(*(None if each is None else Fraction(round(each * 100), 100) for each in (start, end)))
