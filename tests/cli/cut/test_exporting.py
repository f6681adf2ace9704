"""Exports that `fightnotes cut` writes, read back by other programs.

OpenTimelineIO JSON by opentimelineio, CMX 3600 by otio-cmx3600-adapter, WebVTT by webvtt-py, SubRip by srt, the
Markdown table by markdown-it-py, CSV by Python's csv, the concat script by ffmpeg.
"""

from __future__ import annotations

import csv
import re
import shlex
import subprocess
from pathlib import Path

import opentimelineio as otio
import pytest
import srt
import webvtt
from markdown_it import MarkdownIt

from fightnotes.cutting import EXPORTS
from fightnotes.cutting.ffmpeg import ffmpeg_path
from tests.conftest import RunCommand
from tests.cut_samples import decoded

FRAMES = [(125, 188), (675, 738)]
RECORD = [(0, 63), (63, 126)]


def read_timeline(path: Path, **how: object) -> list[tuple[int, int]]:
    (track, *_) = otio.adapters.read_from_file(str(path), **how).video_tracks()
    ranges = [clip.source_range for clip in track.find_clips()]
    return [(round(r.start_time.value), round(r.end_time_exclusive().value)) for r in ranges]


def milliseconds(path: Path) -> list[tuple[int, int]]:
    if path.suffix == ".vtt":
        return [
            (cue.start_time.in_milliseconds(), cue.end_time.in_milliseconds())
            for cue in webvtt.read(str(path)).captions
        ]
    cues = srt.parse(path.read_text(encoding="utf-8"))
    return [(round(cue.start.total_seconds() * 1000), round(cue.end.total_seconds() * 1000)) for cue in cues]


@pytest.fixture
def written(run: RunCommand, tmp_path: Path) -> dict[str, Path]:
    """Every export of the steps at hand, by its name."""
    paths = {known.name: tmp_path / f"steps{known.suffix}" for known in EXPORTS}
    words = [word for path in paths.values() for word in ("--out", path)]
    made = run("cut", "--tag", "outside step", "--at-hand", "--title", "Steps", *words)
    assert made.exit_code == 0
    assert [f"written: {path}" in made.stderr for path in paths.values()] == [True] * len(EXPORTS)
    return paths


def test_every_export_is_read_back_by_another_program(written: dict[str, Path], tmp_path: Path) -> None:
    assert read_timeline(written["otio"]) == FRAMES
    assert read_timeline(written["edl"], adapter_name="cmx_3600", rate=25) == FRAMES
    assert milliseconds(written["chapters"]) == [(40 * start, 40 * end) for start, end in RECORD]
    assert milliseconds(written["captions"]) == [(40 * start, 40 * end) for start, end in RECORD]
    with written["csv"].open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [(int(row["in_frame"]), int(row["out_frame_exclusive"])) for row in rows] == FRAMES
    tokens = MarkdownIt().enable("table").parse(written["markdown"].read_text(encoding="utf-8"))
    cells = [token.content for token in tokens if token.type == "inline"]
    assert {"00:00:05:00", "00:00:07:13", "00:00:27:00", "00:00:29:13"} <= set(cells)
    lines = re.findall(r"\((media/first\.mp4) (\S+) - (\S+)\)", written["timestamps"].read_text(encoding="utf-8"))
    assert lines == [("media/first.mp4", "0:05.000", "0:07.520"), ("media/first.mp4", "0:27.000", "0:29.520")]


def test_the_concat_script_cuts_to_the_frame(written: dict[str, Path], tmp_path: Path) -> None:
    """By the command that the script's head gives."""
    script = written["concat"]
    (command,) = re.findall(r"^# ffmpeg (.*) reel\.mp4$", script.read_text(encoding="utf-8"), re.MULTILINE)
    words = shlex.split(command.replace("THIS_FILE", str(script)))
    subprocess.run([ffmpeg_path(), "-v", "error", *words, str(tmp_path / "reel.mp4")], check=True)
    assert decoded(tmp_path / "reel.mp4") == [*range(125, 188), *range(675, 738)]


@pytest.mark.parametrize("name", [known.name for known in EXPORTS])
def test_an_export_on_standard_output_is_the_one_that_is_written(
    name: str, run: RunCommand, written: dict[str, Path]
) -> None:
    made = run("cut", "--tag", "outside step", "--at-hand", "--title", "Steps", "--to", name)
    assert made.stdout_bytes == written[name].read_bytes()


def test_a_format_given_outweighs_the_ending(run: RunCommand, tmp_path: Path) -> None:
    path = tmp_path / "steps.txt"
    run("cut", "--tag", "outside step", "--to", "edl", "--out", path)
    assert path.read_text(encoding="utf-8").startswith("TITLE: ")
