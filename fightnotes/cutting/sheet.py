"""A contact sheet: one labelled still a cut."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from fractions import Fraction
from pathlib import Path

from fightnotes.clock import seconds_of_frame
from fightnotes.cutting.ass import DialogueLine, Style, script
from fightnotes.cutting.cuts import Cut
from fightnotes.cutting.ffmpeg import missing_characters, missing_note, require_text_filter, run_checked
from fightnotes.cutting.media import Media, footage_of
from fightnotes.cutting.packets import PICTURE
from fightnotes.cutting.showing import find_showing
from fightnotes.cutting.wrapping import columns_in, wrapped
from fightnotes.editing.atomic import made_whole
from fightnotes.errors import ExportError

_SUFFIXES = (".png", ".jpg")
_WIDTH, _HEIGHT = 320, 180
_EDGE = 8
_COLUMNS = 4
_LABEL_STYLE = Style("label", size=18, corner=7, edge=4, from_edge=_HEIGHT + 3)
_FEWEST_LINES = 3
"""Of a label, so that sheets with short titles look alike."""
_MOST = 400
"""Stills: a sheet of 100 rows, about as tall a picture as viewers open."""


def contact_sheet(cuts: Sequence[Cut], media: Mapping[str, Media], path: Path) -> tuple[str, ...]:
    """Write a sheet to `path`, in the order of the cuts, four in a row; what did not come out as it should.

    A still shows the middle of the cut's first moment; below it stand the cut's number, its title and the
    timecode of the still. A cut whose footage is not at hand gets a grey field that says so. Raises ExportError
    for no cuts or more than 400, a suffix other than .png and .jpg, and where ffmpeg fails.
    """
    if not 1 <= len(cuts) <= _MOST:
        raise ExportError(f"{len(cuts)} cuts: a contact sheet holds 1 to {_MOST}")
    if path.suffix.lower() not in _SUFFIXES:
        raise ExportError(f"{path.name}: a contact sheet is written as {', '.join(_SUFFIXES)}")
    require_text_filter()
    label = _label_height(cuts)
    columns = min(_COLUMNS, len(cuts))
    missing: set[str] = set()
    with made_whole(path) as made:
        for number, cut in enumerate(cuts, start=1):
            at_hand = footage_of(cut.media, media)
            missing |= _still(number, cut, at_hand, label, made.parent)
        grid = f"tile={columns}x{math.ceil(len(cuts) / columns)}:margin={_EDGE}:padding={_EDGE}:color=0x181818"
        arguments = ["-loglevel", "warning", "-framerate", "1", "-start_number", "1", "-i", "%d.png", "-vf", grid]
        arguments += ["-frames:v", "1", "-update", "1", "-y", made.name]
        run_checked(arguments, "laying out the stills", made.parent)
    return missing_note(missing)


def still_frame(cut: Cut) -> int:
    """The frame in the middle of the first moment, kept inside the cut."""
    moment = cut.moments[0]
    middle = int((moment.start + moment.end) / 2 * cut.rate)
    return min(max(middle, cut.start_frame), cut.end_frame_exclusive - 1)


def _label_height(cuts: Sequence[Cut]) -> int:
    """Pixels below each still: for the number and the timecode, and for the longest title."""
    columns = columns_in(_WIDTH - 2 * _LABEL_STYLE.edge, _LABEL_STYLE.size)
    lines = max(1 + len(wrapped(cut.title, columns)) for cut in cuts)
    return max(lines, _FEWEST_LINES) * _LABEL_STYLE.size + 2


def _still(number: int, cut: Cut, at_hand: Media | None, label: int, folder: Path) -> set[str]:
    """Make one still; the characters of its label that no font has."""
    frame = still_frame(cut)
    (folder / "label.ass").write_text(_label(number, cut, frame, at_hand is not None, label), encoding="utf-8")
    if at_hand:
        showing = find_showing(at_hand, seconds_of_frame(frame, cut.rate), 1, cut.rate, 1 / (4 * cut.rate))
        source, filters = [*showing.source(), "-map", PICTURE], showing.filters()
    else:
        showing, filters = None, []
        source = ["-f", "lavfi", "-i", f"color=0x505050:s={_WIDTH}x{_HEIGHT}"]
    filters += [
        "scale=iw*sar:ih",
        f"scale={_WIDTH}:{_HEIGHT}:force_original_aspect_ratio=decrease",
        "setsar=1",
        f"pad={_WIDTH}:{_HEIGHT}:-1:-1",
        f"pad={_WIDTH}:{_HEIGHT + label}:0:0:0x181818",
        "setpts=0",
        "ass=label.ass",
        "format=rgb24",
    ]
    output = ["-vf", ",".join(filters), "-frames:v", "1", "-update", "1", "-y", f"{number}.png"]
    what = f"still of cut {number}, {at_hand.path.name if at_hand else 'a grey field'}"
    log = run_checked(["-nostats", *source, *output], what, folder)
    if showing:
        showing.missing_of(log, what)
    return missing_characters(log)


def _label(number: int, cut: Cut, frame: int, at_hand: bool, height: int) -> str:
    text = f"{number} · {cut.timecode(frame)}{'' if at_hand else ' · not at hand'}\n{cut.title}"
    return script([DialogueLine(text, 0, 1, "label")], [_LABEL_STYLE], _WIDTH, _HEIGHT + height, Fraction(1))
