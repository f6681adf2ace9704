"""Text for ffmpeg to draw, as an Advanced SubStation Alpha script (read by libass).

Format as libass reads it and from common practice: there is no standard.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from fightnotes.clock import nearest_frame
from fightnotes.cutting.cuts import one_line
from fightnotes.cutting.wrapping import columns_in, wrapped

_HUNDREDTHS = Fraction(100)
_WORD_JOINER = "\u2060"
"""Invisible; keeps libass from reading a backslash and a letter as a command."""


@dataclass(frozen=True, slots=True)
class Style:
    name: str
    size: int
    """Height of a line, in pixels."""
    corner: int
    """1 low left, 7 high left, 9 high right, as on a numeric keypad."""
    edge: int
    """Pixels from the left and right edges."""
    from_edge: int
    """Pixels from the upper or lower edge."""
    bold: bool = False


@dataclass(frozen=True, slots=True)
class DialogueLine:
    """A text shown on some frames of a piece; a line feed in it is one on the picture."""

    text: str
    start_frame: int
    end_frame_exclusive: int
    style: str


def script(lines: Sequence[DialogueLine], styles: Sequence[Style], width: int, height: int, rate: Fraction) -> str:
    """White letters with a dark outline on a picture of `width` by `height` pixels at `rate` frames a second.

    What is longer than a line goes on in the next one, as `wrapped` tells.
    """
    head = (
        "[Script Info]",
        "ScriptType: v4.00+",
        f"PlayResX: {width}",
        f"PlayResY: {height}",
        "WrapStyle: 0",
        "",
        "[V4+ Styles]",
        "Format: Name, Fontname, Fontsize, PrimaryColour, OutlineColour, BackColour, Bold, BorderStyle, Outline, "
        "Shadow, Alignment, MarginL, MarginR, MarginV",
        *(
            f"Style: {style.name},Sans,{style.size},&H00FFFFFF,&H00202020,&H00202020,{-1 if style.bold else 0},1,"
            f"{max(1, style.size // 12)},0,{style.corner},{style.edge},{style.edge},{style.from_edge}"
            for style in styles
        ),
        "",
        "[Events]",
        "Format: Layer, Start, End, Style, Text",
    )
    columns = {style.name: columns_in(width - 2 * style.edge, style.size) for style in styles}
    return "\n".join((*head, *_dialogue(lines, columns, rate))) + "\n"


def _dialogue(lines: Sequence[DialogueLine], columns: Mapping[str, int], rate: Fraction) -> Iterator[str]:
    for line in lines:
        start, end = (_time(frame, rate) for frame in (line.start_frame, line.end_frame_exclusive))
        rows = (row for text in line.text.split("\n") for row in wrapped(one_line(text), columns[line.style]))
        yield f"Dialogue: 0,{start},{end},{line.style}," + "\\N".join(map(_plain, rows))


def _time(frame: int, rate: Fraction) -> str:
    """Hundredths of a second, half a frame before the frame begins: so a frame is hit whatever is rounded, at up
    to 60 a second."""
    hundredths = max(0, nearest_frame((frame - Fraction(1, 2)) / rate, _HUNDREDTHS))
    whole, rest = divmod(hundredths, 100)
    minutes, second = divmod(whole, 60)
    hours, minute = divmod(minutes, 60)
    return f"{hours}:{minute:02d}:{second:02d}.{rest:02d}"


def _plain(text: str) -> str:
    return text.replace("\\", f"\\{_WORD_JOINER}").replace("{", "\\{").replace("}", "\\}")
