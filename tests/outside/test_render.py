"""Reels decoded by ffmpeg: every frame of the synthetic footage carries its number as a bar code."""

from __future__ import annotations

import subprocess
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from fightnotes.cutting import BurntIn, assemble, contact_sheet, find_media, plan_render, probe, render
from fightnotes.cutting.ffmpeg import ffmpeg_path
from fightnotes.cutting.sheet import still_frame
from fightnotes.cutting.timeline import Timeline
from fightnotes.model import Bout, Handles
from tests.cut_samples import a_bout, a_candidate, decoded, make_footage, numbers_of, with_bell

NO_HANDLES = Handles(before=Fraction(0), after=Fraction(0))


def footage(folder: Path, name: str, rate: str, frames: int = 260, suffix: str = ".mp4", **how: object) -> Bout:
    make_footage(folder / f"{name}{suffix}", rate, frames, **how)  # type: ignore[arg-type]
    drop = rate == "30000/1001"
    return a_bout(name, recording={"file": f"{name}{suffix}", "rate": Fraction(rate), "drop_frame": drop})


def shown(timeline: Timeline) -> list[int]:
    """The source frame that each record frame must show: the last one begun, a quarter of a frame time allowed."""
    wanted = []
    for event in timeline.events:
        cut = event.cut
        slack = 1 / (4 * max(cut.rate, timeline.rate))
        wanted += [
            cut.start_frame + int((Fraction(frame) / timeline.rate + slack) * cut.rate) for frame in range(event.frames)
        ]
    return wanted


@pytest.mark.parametrize(
    ("rate", "suffix", "offset"),
    [
        ("25", ".mp4", "0"),
        ("30000/1001", ".mp4", "0"),
        ("60", ".mp4", "0"),
        ("30000/1001", ".mkv", "0"),
        ("25", ".ts", "3.7"),
    ],
)
def test_the_first_and_last_frame_of_each_cut_are_the_right_ones(
    rate: str, suffix: str, offset: str, tmp_path: Path
) -> None:
    bout = footage(tmp_path, "bout", rate, suffix=suffix, offset=offset)
    media, _ = find_media([bout], tmp_path)
    length = Fraction(260) / Fraction(rate)
    candidates = [
        a_candidate(bout, "2.51", "2.9", line=1),
        a_candidate(bout, 0, "0.2", line=2),
        a_candidate(bout, "1.1", "1.1", line=3),
        a_candidate(bout, length - Fraction(1, 3), length + 5, line=4),
    ]
    cut_list = assemble(candidates, media, NO_HANDLES, "hand")
    assert cut_list.cuts[3].end_frame_exclusive == 260
    plan = plan_render(cut_list, media)
    made = render(plan, tmp_path / "reel.mp4")
    frames = decoded(made.path)
    expected = [(cut.start_frame, cut.end_frame_exclusive - 1) for cut in cut_list.cuts]
    at = [(event.start_frame, event.end_frame_exclusive - 1) for event in plan.timeline.events]
    assert [(frames[first], frames[last]) for first, last in at] == expected
    assert frames == shown(plan.timeline)
    assert len(frames) == made.frames == sum(cut.frames for cut in cut_list.cuts)
    reel = probe(made.path)
    assert reel.rate == Fraction(rate)
    assert reel.length == cut_list.duration


def test_mixed_rates_sizes_and_sound_are_evened_out(tmp_path: Path) -> None:
    bouts = [
        footage(tmp_path, "a", "25"),
        footage(tmp_path, "b", "30000/1001", size=(320, 180), sound=False),
        footage(tmp_path, "c", "60", suffix=".mkv", size=(120, 108)),
    ]
    media, _ = find_media(bouts, tmp_path)
    candidates = [a_candidate(bout, start, start + 1) for bout, start in zip(bouts, (4, 3, 2), strict=True)]
    candidates.append(a_candidate(bouts[0], 1, 2, line=11))
    plan = plan_render(assemble(candidates, media, NO_HANDLES, "hand"), media)
    made = render(plan, tmp_path / "reel.mp4")
    assert (plan.width, plan.height, plan.timeline.rate, plan.sounds) == (192, 108, 25, (1,))
    frames = decoded(made.path)
    assert len(frames) == made.frames == 25 + 26 + 25 + 25  # 31 frames at 30000/1001 last 25.9 at 25
    right_size = [n for n, event in enumerate(plan.timeline.events) if event.cut.bout.id != "c"]
    for number in right_size:
        event = plan.timeline.events[number]
        span = slice(event.start_frame, event.end_frame_exclusive)
        assert frames[span] == shown(plan.timeline)[span]
    said = " ".join(made.notes)
    assert "25, 30000/1001, 60 frames a second" in said
    assert "120x108, 192x108, 320x180" in said
    assert "1 of 4 cuts have no sound" in said


def test_sound_stays_with_its_picture(tmp_path: Path) -> None:
    """A tone that sounds in each odd second: heard in the reel where, and only where, the cut shows odd seconds."""
    bout = footage(tmp_path, "silent", "25", frames=225, sound=False)
    tone = "aevalsrc='0.8*sin(2*PI*500*t)*gte(mod(t,2),1)':d=9:s=44100"
    command = [ffmpeg_path(), "-v", "error", "-i", "silent.mp4", "-f", "lavfi", "-i", tone, "-c:v", "copy"]
    subprocess.run([*command, "-c:a", "aac", "toned.mp4"], cwd=tmp_path, check=True)
    bout = a_bout("toned", recording={"file": "toned.mp4"})
    other = a_bout("silent", recording={"file": "silent.mp4"})
    media, _ = find_media([bout, other], tmp_path)
    candidates = [
        a_candidate(bout, 5, 6, line=1),
        a_candidate(other, 3, 4, line=2),
        a_candidate(bout, "2.52", "3.52", line=3),
        a_candidate(bout, "0.6", "1.4", line=4),
    ]
    made = render(plan_render(assemble(candidates, media, NO_HANDLES, "hand"), media), tmp_path / "reel.mov")
    command = [ffmpeg_path(), "-v", "error", "-i", str(made.path), "-f", "s16le", "-ac", "1", "-ar", "8000", "-"]
    samples = np.frombuffer(subprocess.run(command, check=True, capture_output=True).stdout, dtype=np.int16)
    # 10 ms windows; two around a change are left out, as the encoder smears it
    loud = np.abs(samples[: len(samples) // 80 * 80].reshape(-1, 80)).mean(axis=1) > 2000
    expected = [True] * 100 + [False] * 100 + [False] * 48 + [True] * 52 + [False] * 40 + [True] * 40
    changes = {i for i in range(1, len(expected)) if expected[i] != expected[i - 1]} | {len(expected)}
    steady = [i for i in range(len(expected)) if not {i - 1, i, i + 1, i + 2} & changes]
    assert len(steady) > 350
    assert [bool(loud[i]) for i in steady] == [expected[i] for i in steady]


def test_the_burnt_in_clock_changes_on_the_right_frame(tmp_path: Path) -> None:
    """The clock runs down from 3:00 at the bell, 1 s in: frames 29 and 30 at 30000/1001 lie on either side of it."""
    bout = with_bell(footage(tmp_path, "bout", "30000/1001", size=(480, 270)), Fraction(1))
    media, _ = find_media([bout], tmp_path)
    plan = plan_render(assemble([a_candidate(bout, 0, 3)], media, NO_HANDLES), media)
    plain = _pictures(render(plan, tmp_path / "plain.mp4").path)
    drawn = _pictures(render(plan, tmp_path / "clock.mp4", BurntIn(round_clock=True)).path)
    corner = np.abs(drawn.astype(int) - plain.astype(int))[:, :40, 340:]
    has_text = corner.max(axis=(1, 2)) > 60
    # The clock begins with the bell, and each reading lasts its 30 frames.
    assert [int(i) for i in np.flatnonzero(np.diff(has_text.astype(int)))] == [29]
    moved = np.abs(np.diff((drawn - plain.astype(int))[30:, :40, 340:], axis=0)).max(axis=(1, 2))
    assert 30 + int(moved[:45].argmax()) + 1 == 60
    titled = _pictures(render(plan, tmp_path / "title.mp4", BurntIn(title=True)).path)
    assert (np.abs(titled.astype(int) - plain.astype(int))[:, 230:, :240].max(axis=(1, 2)) > 60).all()


def test_the_contact_sheet_shows_the_middle_of_each_moment(tmp_path: Path) -> None:
    bout, missing = footage(tmp_path, "bout", "25", size=(320, 180)), a_bout("gone")
    media, _ = find_media([bout, missing], tmp_path)
    starts = (1, 3, 5, 7, 9)
    candidates = [a_candidate(bout, start, start + 1, line=start) for start in starts]
    cuts = assemble([*candidates, a_candidate(missing, 4, 5)], media, NO_HANDLES, "hand").cuts
    contact_sheet(cuts, media, tmp_path / "sheet.png")
    sheet = _pictures(tmp_path / "sheet.png", size=(4 * 328 + 8, 2 * 244 + 8))[0]
    stills = [sheet[8 + 244 * (n // 4) :][:180, 8 + 328 * (n % 4) :][:, :320] for n in range(6)]
    read = numbers_of(np.stack(stills[:5]))
    assert read == [still_frame(cut) for cut in cuts[:5]] == [start * 25 + 12 for start in starts]
    assert stills[5].std() < 1, "a plain field where the footage is not at hand"
    label = sheet[8 + 180 : 8 + 236, 8 : 8 + 320]
    assert label.max() > 200, "there is a label"


def _pictures(path: Path, size: tuple[int, int] = (480, 270)) -> np.ndarray:
    command = [ffmpeg_path(), "-v", "error", "-i", str(path), "-map", "0:v:0", "-f", "rawvideo", "-pix_fmt", "gray"]
    raw = subprocess.run([*command, "pipe:1"], check=True, capture_output=True).stdout
    return np.frombuffer(raw, dtype=np.uint8).reshape(-1, size[1], size[0])
