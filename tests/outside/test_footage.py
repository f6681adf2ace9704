"""Footage of every kind, cut by each ffmpeg at hand and decoded again: every frame carries its number.

What is right is known from how the footage was made, not from any time stamp. ffmpeg is the system's, where one is
installed, and the one of the package imageio-ffmpeg.
"""

from __future__ import annotations

import shlex
import shutil
import subprocess
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import imageio_ffmpeg
import pytest

from fightnotes.cutting import (
    INACCURACY,
    CutList,
    Media,
    assemble,
    export,
    find_media,
    plan_render,
    render,
    stream_copy,
)
from fightnotes.cutting.ffmpeg import ffmpeg_path, require_text_filter
from fightnotes.errors import ExportError
from fightnotes.model import Handles
from tests.cut_samples import a_bout, a_candidate, decoded
from tests.footage_kinds import KINDS, Kind

PROGRAMS = {"system": shutil.which("ffmpeg"), "packaged": imageio_ffmpeg.get_ffmpeg_exe()}
NO_HANDLES = Handles(before=Fraction(0), after=Fraction(0))


@pytest.fixture(params=PROGRAMS)
def program(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    path = PROGRAMS[request.param]
    if path is None:
        pytest.skip("no ffmpeg of the system's is installed")
    monkeypatch.setattr("fightnotes.cutting.ffmpeg.shutil.which", lambda name: path)
    for known in (ffmpeg_path, require_text_filter):
        known.cache_clear()
    yield path
    for known in (ffmpeg_path, require_text_filter):
        known.cache_clear()


@pytest.fixture(scope="module")
def films(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("films")


def cut_from(kind: Kind, folder: Path) -> tuple[CutList, dict[str, Media]]:
    """The cuts of a kind; two bouts by turns, so that neighbours are not joined."""
    if not (folder / kind.file).exists():
        kind.make(folder / kind.file)
    bouts = [a_bout(name, recording={"file": kind.file, "rate": kind.rate}) for name in ("one", "two")]
    media, wrong = find_media(bouts, folder)
    assert wrong == ()
    spans = [*kind.cuts, (kind.frames - 4, kind.frames + 50)]
    picked = [
        a_candidate(bouts[line % 2], begin / kind.rate, end / kind.rate, line=line)
        for line, (begin, end) in enumerate(spans, start=1)
    ]
    made = assemble(picked, media, NO_HANDLES, "hand")
    expected = [*kind.cuts, (kind.frames - 4, kind.frames)]
    assert [(cut.start_frame, cut.end_frame_exclusive) for cut in made.cuts] == expected
    return made, media


def wanted(kind: Kind, made: CutList) -> list[int]:
    frames = [frame for cut in made.cuts for frame in range(cut.start_frame, cut.end_frame_exclusive)]
    return [kind.first + kind.shown(frame) for frame in frames]


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.file)
def test_a_reel_has_the_frames_of_the_list_and_no_other(kind: Kind, program: str, films: Path, tmp_path: Path) -> None:
    made, media = cut_from(kind, films)
    rendered = render(plan_render(made, media), tmp_path / "reel.mp4")
    assert decoded(rendered.path) == wanted(kind, made)
    assert rendered.notes == ()
    noted = " ".join(made.notes)
    assert (kind.said or "") in noted
    assert ("varies" in noted) == (kind.said == "rate varies")


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.file)
def test_a_concat_script_gives_the_frames_of_the_list_or_is_refused(
    kind: Kind, program: str, films: Path, tmp_path: Path
) -> None:
    made, media = cut_from(kind, films)
    if kind.concat:
        with pytest.raises(ExportError, match=kind.concat):
            export(made, "concat", media)
        return
    script = tmp_path / "reel.ffconcat"
    script.write_text(export(made, "concat", media), encoding="utf-8")
    command = next(line for line in script.read_text().splitlines() if line.startswith("# ffmpeg "))
    words = shlex.split(command.removeprefix("# ffmpeg ").replace("THIS_FILE", shlex.quote(str(script))))
    subprocess.run([program, "-v", "fatal", *words], cwd=tmp_path, check=True)
    assert decoded(tmp_path / "reel.mp4") == wanted(kind, made)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.file)
def test_a_stream_copy_has_every_frame_of_the_list_or_is_refused(
    kind: Kind, program: str, films: Path, tmp_path: Path
) -> None:
    made, media = cut_from(kind, films)
    if kind.copy:
        with pytest.raises(ExportError, match=kind.copy):
            stream_copy(plan_render(made, media), tmp_path / "reel.mkv")
        assert list(tmp_path.iterdir()) == []
        return
    copied = stream_copy(plan_render(made, media), tmp_path / "reel.mkv")
    frames = decoded(copied.path)
    left = iter(frames)
    assert all(number in left for number in dict.fromkeys(wanted(kind, made))), "in their order, others between them"
    assert (INACCURACY in copied.notes) == (len(frames) > len(wanted(kind, made)))
    assert (kind.file == "intra.mov") == (copied.notes == ())
