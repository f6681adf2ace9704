"""Which files of footage are asked of ffmpeg, and how often."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from fightnotes.cutting import Media, finding
from fightnotes.errors import ExportError
from fightnotes.model import Bout, Recording


def test_a_file_is_read_again_only_when_it_has_changed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[bytes] = []

    def probed(path: Path) -> Media:
        content = path.read_bytes()
        asked.append(content)
        if content == b"torn\0":
            raise ExportError("torn")
        return Media.model_construct(path=path, length=None)

    monkeypatch.setattr(finding, "probe", probed)
    film = tmp_path / "film.mp4"
    bout = Bout(id="one", file="bouts/one.md", title="One", recordings={"footage": Recording(file="film.mp4")})

    def found(content: bytes, at: int) -> set[str]:
        film.write_bytes(content)
        os.utime(film, ns=(at, at))
        return set(finding.find_media([bout], tmp_path)[0])

    assert found(b"first\0", 1) == found(b"first\0", 1) == {"film.mp4"}
    assert asked == [b"first\0"]
    assert found(b"other\0", 2) == found(b"longer\0", 2) == {"film.mp4"}
    assert asked == [b"first\0", b"other\0", b"longer\0"]
    assert found(b"torn\0", 3) == found(b"torn\0", 3) == set()
    assert asked[3:] == [b"torn\0", b"torn\0"]
