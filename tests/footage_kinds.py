"""Synthetic footage of every kind that analysts have, small; each frame carries its number (`tests/cut_samples.py`)."""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

import imageio_ffmpeg

from tests.cut_samples import barcode

PACKAGED = imageio_ffmpeg.get_ffmpeg_exe()
"""Makes the footage, so that it is the same whichever program cuts it."""
H264 = ("-c:v", "libx264", "-preset", "ultrafast", "-bf", "2", "-g", "48", "-keyint_min", "48")
MPEG2 = ("-c:v", "mpeg2video", "-bf", "2", "-g", "24", "-q:v", "4")
MPEG4 = ("-c:v", "mpeg4", "-bf", "2", "-g", "48", "-q:v", "3")
LACE = ("-flags", "+ilme+ildct", "-x264opts", "tff=1")
OPEN = ("-c:v", "libx264", "-preset", "veryfast", "-bf", "3", "-g", "40", "-x264opts", "open_gop=1:scenecut=0")
HEVC = ("-c:v", "libx265", "-preset", "ultrafast", "-x265-params", "log-level=none:keyint=40:open-gop=1:bframes=3")
MP2, PCM = ("-c:a", "mp2"), ("-c:a", "pcm_s16le", "-ar", "48000")
_GONE = "eq(mod(n,7),3)+eq(mod(n,7),4)+between(n,60,80)"
VARYING = ("-vf", f"select='not({_GONE})'", "-fps_mode", "vfr")
UNTIMED = "carry no times"
UNINDEXED = "cannot cut this kind of file"
LEANING = "groups of pictures lean"
UNEVEN = "do not come one each frame"


def held(frame: int) -> int:
    """The picture that stands at a frame of footage made with `VARYING`."""
    while frame % 7 in (3, 4) or 60 <= frame <= 80:
        frame -= 1
    return frame


@dataclass(frozen=True)
class Kind:
    file: str
    make: Callable[[Path], None]
    frames: int = 120
    first: int = 0
    """The number that frame 0 carries."""
    cuts: Sequence[tuple[int, int]] = ((73, 79), (45, 51), (0, 3))
    """First frame and the one after the last, in the order of the reel; the last four frames come at the end."""
    rate: Fraction = Fraction(25)
    shown: Callable[[int], int] = field(default=lambda frame: frame)
    """The number that shows at a frame, before `first` is added."""
    concat: str | None = None
    """Why no script is written; None where it is, and is exact."""
    copy: str | None = None
    """Why no streams are copied; None where every frame is in the copy."""
    said: str | None = None
    """What the cut list says of it."""


def film(
    path: Path,
    video: Sequence[str] = H264,
    more: Sequence[str] = (),
    rate: str = "25",
    frames: int = 120,
    size: tuple[int, int] = (192, 108),
    sounds: Sequence[int] = (1,),
) -> None:
    """A film whose sound has as many streams as `sounds`, each with so many channels."""
    width, height = size
    command = [PACKAGED, "-v", "error", "-f", "rawvideo", "-pix_fmt", "gray", "-s", f"{width}x{height}"]
    command += ["-r", rate, "-i", "pipe:0"]
    for channels in sounds:
        layout = {1: "mono", 2: "stereo"}[channels]
        command += ["-f", "lavfi", "-i", f"aevalsrc={'|'.join(['0.3*sin(2800*t)'] * channels)}:c={layout}:s=44100"]
    command += [word for number in range(len(sounds) + 1) for word in ("-map", str(number))]
    command += ["-shortest", *video, "-pix_fmt", "yuv420p", *more, "-y", str(path)]
    pictures = b"".join(barcode(number, width, height).tobytes() for number in range(frames))
    subprocess.run(command, input=pictures, check=True)


def copied(source: Path, path: Path, before: Sequence[str] = (), more: Sequence[str] = ()) -> None:
    command = [PACKAGED, "-v", "error", *before, "-i", str(source), "-c", "copy", *more, "-y", str(path)]
    subprocess.run(command, check=True)


def a(
    video: Sequence[str] = H264, more: Sequence[str] = (), rate: str = "25", frames: int = 120
) -> Callable[[Path], None]:
    return lambda path: film(path, video, more, rate, frames)


def with_hidden_pre_roll(path: Path) -> None:
    """Copied from 1.3 s on: an edit list hides what lies between the key frame before it and there."""
    film(path.with_name("whole.mp4"))
    copied(path.with_name("whole.mp4"), path, ["-ss", "1.3"])


def begun_within(path: Path) -> None:
    """A broadcast joined between two key frames, at a packet's border: nothing shows before the next one."""
    film(path)
    packets = path.read_bytes()
    path.write_bytes(packets[188 * 60 :])


KINDS = (
    Kind("plain.mp4", a()),
    Kind("ntsc.mkv", a(rate="30000/1001"), rate=Fraction(30000, 1001)),
    Kind("hidden.mp4", with_hidden_pre_roll, frames=87, first=33, cuts=((63, 69), (13, 19), (0, 3))),
    Kind("fragments.mp4", a(more=("-movflags", "frag_keyframe+empty_moov"))),
    Kind("open.mp4", a(OPEN), concat=LEANING, copy=LEANING),
    Kind("hevc.mp4", a(HEVC), concat=LEANING, copy=LEANING),
    Kind("flash.flv", a(more=("-c:a", "aac"))),
    Kind("intra.mov", a(("-c:v", "mjpeg", "-q:v", "3"), PCM)),
    Kind("program.mpg", a(MPEG2, MP2), concat=UNTIMED, copy=UNTIMED, said=UNTIMED),
    Kind("dvd.vob", a(MPEG2, (*MP2, "-f", "vob")), concat=UNTIMED, copy=UNTIMED, said=UNTIMED),
    Kind("reordered.avi", a(MPEG4, MP2), concat=UNTIMED, copy=UNTIMED, said=UNTIMED),
    Kind("h264.avi", a(more=MP2), concat=UNTIMED, copy=UNTIMED, said=UNTIMED),
    Kind("varying.mp4", a(more=VARYING), shown=held, concat=UNEVEN, said="rate varies"),
    Kind("varying.mkv", a(more=VARYING), shown=held, concat=UNEVEN, said="rate varies"),
    Kind("stream.ts", a(more=("-output_ts_offset", "3.7")), concat=UNINDEXED),
    Kind(
        "distant-keys.ts",
        a((*H264[:-4], "-g", "500", "-keyint_min", "500", "-sc_threshold", "0"), frames=530),
        frames=530,
        cuts=((497, 503), (515, 520), (0, 3)),
        concat=UNINDEXED,
    ),
    Kind("wrapped.ts", a(more=("-output_ts_offset", "95440.7")), concat=UNINDEXED),
    Kind(
        "wrapped-late.ts",
        a(rate="5", frames=380, more=("-output_ts_offset", "95378.7")),
        frames=380,
        cuts=((310, 325), (300, 303), (0, 3)),
        rate=Fraction(5),
        concat=UNINDEXED,
    ),
    Kind("begun-within.ts", begun_within, frames=72, first=48, cuts=((33, 39), (0, 3)), concat=UNINDEXED),
    Kind("open.ts", a(OPEN), concat=UNINDEXED, copy=LEANING),
    Kind("refreshed.ts", a((*H264[:4], "-g", "25", "-intra-refresh", "1")), concat=UNINDEXED),
    Kind("interlaced.ts", a((*H264, *LACE)), concat=UNINDEXED, said="interlaced"),
    Kind("interlaced.mp4", a((*H264, *LACE)), said="interlaced"),
    Kind("broadcast.mxf", a(MPEG2, PCM)),
)
