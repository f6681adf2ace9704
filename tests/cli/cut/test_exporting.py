"""Exports that `fightnotes cut` writes, read back by other programs.

OpenTimelineIO JSON by opentimelineio, CMX 3600 by otio-cmx3600-adapter, WebVTT by webvtt-py, SubRip by srt, the
Markdown table by markdown-it-py, CSV by Python's csv, the concat script by ffmpeg.
"""

from __future__ import annotations

import csv
import json
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
    lines = written["timestamps"].read_text(encoding="utf-8").splitlines()
    assert lines == ["0:00 outside step, R1 0:10", "0:02 outside step, R2 0:08"]


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


def test_sources_at_two_rates_make_two_edls_which_are_named(library: Path, run: RunCommand, tmp_path: Path) -> None:
    notes = library / "bouts" / "gone.md"
    faster = "rate: 30000/1001, drop_frame: true"
    notes.write_text(notes.read_text(encoding="utf-8").replace("rate: 25", faster), encoding="utf-8")
    run("build")
    made = run("cut", "--tag", "outside step", "--out", tmp_path / "steps.edl", "--reel-start", "01:00:00:00")
    assert made.exit_code == 0
    paths = [tmp_path / "steps-25.edl", tmp_path / "steps-29.97-drop.edl"]
    assert sorted(tmp_path.glob("*.edl")) == paths
    assert [f"written: {path}\n" in made.stderr for path in paths] == [True, True]
    assert read_timeline(paths[0], adapter_name="cmx_3600", rate=25) == FRAMES
    # R1 0:12-0:11 after a bell at 1 s is 4 to 5 s; 3 to 5.5 s with handles: frames 89 to 165, the last one exclusive
    assert read_timeline(paths[1], adapter_name="cmx_3600", rate=30000 / 1001) == [(89, 165)]
    assert " 01:00:00;00 01:00:02;16" in paths[1].read_text(encoding="ascii")
    alone = run("cut", "--tag", "outside step", "--to", "edl")
    assert (alone.exit_code, alone.stdout) == (1, "")
    assert "2 ways (25, 29.97-drop), and edl in one: --out writes a file each" in alone.stderr


def test_the_reel_starts_at_the_timecode_asked_for_and_a_saved_list_keeps_it(run: RunCommand, tmp_path: Path) -> None:
    saved = tmp_path / "steps.yaml"
    made = run("cut", "--tag", "outside step", "--reel-start", "01:00:00:00", "--save", saved)
    assert "\n1   01:00:00:00 " in made.stdout
    assert "reel_start: 01:00:00:00\n" in saved.read_text(encoding="utf-8")
    again = json.loads(run("cut", "--from", saved, "--format", "json").stdout)
    assert [cut["record_in"] for cut in again["cuts"]] == ["01:00:00:00", "01:00:02:13", "01:00:05:01"]
    assert run("cut", "--from", saved, "--to", "chapters").stdout.count("00:00:02.520 --> 00:00:05.040") == 1
    for start, status in (("1:00:00", 2), ("01:00:00:25", 1)):
        refused = run("cut", "--from", saved, "--reel-start", start)
        assert (refused.exit_code, refused.stdout) == (status, ""), start
