"""Markers on a cut: one for each of its moments, with what the notes say and a colour.

The colour is the corner of the fighter who acts: RED and BLUE, PURPLE where both do, WHITE where the notes name
neither. The names are OpenTimelineIO's (`opentimelineio.schema.MarkerColor`); what they stand for here is our own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fightnotes.cutting.cuts import Cut, CutMoment

COLOURS = {frozenset({"red"}): "RED", frozenset({"blue"}): "BLUE", frozenset({"red", "blue"}): "PURPLE"}
NOBODY = "WHITE"


@dataclass(frozen=True, slots=True)
class Marker:
    moment: CutMoment
    title: str
    colour: str
    start_frame: int
    end_frame_exclusive: int
    """Of the moment without handles, counted from 0 at the first frame of the file."""


def markers_of(cut: Cut) -> Iterator[Marker]:
    for moment in cut.moments:
        yield Marker(moment, cut.title_of(moment), colour_of(moment), *cut.frames_of(moment))


def colour_of(moment: CutMoment) -> str:
    """By the corners of those who act in it."""
    candidate = moment.candidate
    corners = {candidate.bout.corner_of(fighter) for fighter in candidate.segment.all_of("by")}
    return COLOURS.get(frozenset(corner for corner in corners if corner), NOBODY)
