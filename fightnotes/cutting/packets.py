"""The packets of a file's picture as ffmpeg lists them: when each is shown, and which can be decoded from."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from fightnotes.cutting.ffmpeg import opening, run

PICTURE = "0:V:0"
"""The first stream of video that is no cover picture."""
TO_LIST = ("-map", PICTURE, "-c", "copy", "-copyinkf", "-copypriorss", "1", "-f", "framecrc", "-")
_UNSET = -(2**63)
_KEY, _HIDDEN = 1, 4
"""AV_PKT_FLAG_KEY and AV_PKT_FLAG_DISCARD of libavcodec, packet.h."""
_FLAGS = re.compile(r"F=0x([0-9A-F]+)")


@dataclass(frozen=True, slots=True)
class Packet:
    decoded: Fraction | None
    """Time stamp, in seconds, in whose order packets are stored."""
    shown: Fraction | None
    """Time stamp, in seconds, at which its picture begins; None where the file gives none."""
    lasts: Fraction
    key: bool
    """Whether decoding may begin with it."""
    hidden: bool
    """Whether it is decoded and not shown, as what an edit list cuts away."""


def packets(path: Path, *options: str) -> list[Packet]:
    """Those in the part of a file that ffmpeg's input `options` ask for, in the order in which they are stored."""
    listing = run(["-v", "error", "-copyts", *opening(path, *options), *TO_LIST])
    return read_listing(listing.stdout)


def read_listing(listing: bytes) -> list[Packet]:
    """Packets as ffmpeg's framecrc writes them.

    Columns: stream, decoding stamp, presentation stamp, duration, size, checksum, then flags where they are more
    or less than that of a key frame; stamps count in the time base of the line `#tb`.
    """
    lines = listing.decode(errors="replace").splitlines()
    base = next((Fraction(line.split(": ")[1]) for line in lines if line.startswith("#tb 0")), None)
    if base is None:
        return []
    return [_packet(line, base) for line in lines if line and not line.startswith("#")]


def shown_stamps(listed: Sequence[Packet]) -> list[Fraction]:
    """Time stamps of the pictures that are shown, ascending."""
    return sorted(packet.shown for packet in listed if packet.shown is not None and not packet.hidden)


def _packet(line: str, base: Fraction) -> Packet:
    columns = line.split(",")
    written = _FLAGS.search(line)
    flags = int(written.group(1), 16) if written else _KEY
    return Packet(
        decoded=_stamp(columns[1], base),
        shown=_stamp(columns[2], base),
        lasts=int(columns[3]) * base,
        key=bool(flags & _KEY),
        hidden=bool(flags & _HIDDEN),
    )


def _stamp(written: str, base: Fraction) -> Fraction | None:
    ticks = int(written)
    return None if ticks == _UNSET else ticks * base
