"""Invented bouts and moments, and synthetic footage whose every frame carries its number."""

from __future__ import annotations

import datetime
import subprocess
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fightnotes.clock import Bell, RoundFormat
from fightnotes.cutting import Candidate
from fightnotes.cutting.ffmpeg import ffmpeg_path
from fightnotes.model import FOOTAGE, Bout, Fields, Fighter, Recording, Segment, Tag

BITS = 12
ROUNDS = RoundFormat(count=3, length=Fraction(180), rest=Fraction(60), clock="down")


def a_bout(name: str = "corvale-brandaal-2031", **changes: Any) -> Bout:
    recording = {"file": f"media/{name}.mp4", "rate": Fraction(25)} | changes.pop("recording", {})
    given = {
        "id": name,
        "file": f"bouts/{name}.md",
        "title": "Corvale v Brandaal",
        "date": datetime.date(2031, 3, 8),
        "rounds": ROUNDS,
        "red": Fighter(id="corvale", name="Ines Corvale"),
        "blue": Fighter(id="brandaal", name="Rika Brandaal"),
        "recordings": {FOOTAGE: Recording(**recording)},
    }
    return Bout(**(given | changes))


def with_bell(bout: Bout, round_one: Fraction) -> Bout:
    return bout.model_copy(update={"bells": {1: Bell(round_one, inferred=False)}})


def a_segment(bout: Bout, start: Any, end: Any = None, line: int = 10, **more: Any) -> Segment:
    begin = None if start is None else Fraction(start)
    given = {
        "bout": bout.id,
        "file": bout.file,
        "line": line,
        "last_line": line,
        "kind": "note",
        "text": "right hand",
        "written_time": "0:00",
        "start": begin,
        "end": begin + 1 if end is None and begin is not None else (None if end is None else Fraction(end)),
        "tags": (Tag(written="cross", concept="cross", line=line, column=9),),
        "fields": Fields(by=("corvale",), outcome=("landed",)),
    }
    return Segment(**(given | more))


def a_candidate(bout: Bout, start: Any, end: Any = None, line: int = 10, **more: Any) -> Candidate:
    own = {key: more.pop(key) for key in ("relevance", "handles", "title", "techniques") if key in more}
    return Candidate(segment=a_segment(bout, start, end, line, **more), bout=bout, **own)


def barcode(number: int, width: int, height: int) -> NDArray[np.uint8]:
    """A grey picture with the number in binary: vertical bars, the lowest bit on the left."""
    bars = np.array([(number >> bit) & 1 for bit in range(BITS)], dtype=np.uint8)
    columns = np.arange(width) * BITS // width
    return np.broadcast_to(bars[columns] * 170 + 40, (height, width)).astype(np.uint8)


def numbers_of(pictures: NDArray[np.uint8]) -> list[int]:
    """The number on each picture of (frames, height, width); read across the middle third of the height and of each
    bar, as text may cover the edges."""
    _, height, width = pictures.shape
    middle = pictures[:, height // 3 : 2 * height // 3]
    found = np.zeros(len(pictures), dtype=int)
    for bit in range(BITS):
        left, right = width * (3 * bit + 1) // (3 * BITS), width * (3 * bit + 2) // (3 * BITS)
        found += (middle[:, :, left:right].mean(axis=(1, 2)) > 125).astype(int) << bit
    return [int(number) for number in found]


def make_footage(
    path: Path, rate: str, frames: int, size: tuple[int, int] = (192, 108), sound: bool = True, offset: str = "0"
) -> None:
    """H.264 with B-frames and a key frame each 48 frames, so that an in point seldom falls on one."""
    width, height = size
    command = [ffmpeg_path(), "-v", "error", "-f", "rawvideo", "-pix_fmt", "gray", "-s", f"{width}x{height}"]
    command += ["-r", rate, "-i", "pipe:0"]
    if sound:
        command += ["-f", "lavfi", "-i", "sine=frequency=440:sample_rate=44100", "-shortest", "-c:a", "aac"]
    command += ["-c:v", "libx264", "-preset", "ultrafast", "-bf", "2", "-g", "48", "-pix_fmt", "yuv420p"]
    command += ["-output_ts_offset", offset, "-y", str(path)]
    pictures = b"".join(barcode(number, width, height).tobytes() for number in range(frames))
    subprocess.run(command, input=pictures, check=True)


def decoded(path: Path, size: tuple[int, int] = (192, 108)) -> list[int]:
    """The numbers on all frames of a file, as stored, none made up or left out."""
    width, height = size
    command = [ffmpeg_path(), "-v", "error", "-i", str(path), "-map", "0:v:0", "-fps_mode", "passthrough"]
    command += ["-vf", f"scale={width}:{height}", "-f", "rawvideo", "-pix_fmt", "gray", "pipe:1"]
    raw = subprocess.run(command, check=True, capture_output=True).stdout
    return numbers_of(np.frombuffer(raw, dtype=np.uint8).reshape(-1, height, width))
