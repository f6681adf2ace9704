"""The reel by `fightnotes render`, and the contact sheet by `fightnotes cut`; each frame carries its number."""

from __future__ import annotations

import json
import signal
import struct
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from fightnotes.cutting import INACCURACY
from fightnotes.cutting.ffmpeg import ffmpeg_path
from tests.conftest import RunCommand
from tests.cut_samples import decoded


def test_missing_footage_is_named_before_the_work_and_the_rest_is_rendered(
    run: RunCommand, saved: Path, tmp_path: Path
) -> None:
    made = run("render", saved, tmp_path / "reel.mp4", "--format", "json")
    assert made.exit_code == 1
    missing = "media/gone.mp4 is not at hand, left out: outside step, Brandaal v Corvale II, R1 0:12"
    assert missing in made.stderr
    document = json.loads(made.stdout)
    assert (document["frames"], document["seconds"], document["missing"]) == (126, 5.04, [missing])
    assert decoded(tmp_path / "reel.mp4") == [*range(125, 188), *range(675, 738)]


def test_a_reel_with_title_and_clock(library: Path, run: RunCommand, tmp_path: Path) -> None:
    assert run("cut", "--bout", "first", "--save", tmp_path / "list.yaml").exit_code == 0
    made = run("render", tmp_path / "list.yaml", tmp_path / "reel.mkv", "--burn", "title", "--burn", "clock")
    assert made.exit_code == 0
    assert "189 frames at 25 a second" in made.stdout
    plain = run("render", tmp_path / "list.yaml", tmp_path / "plain.mkv", "--format", "csv")
    assert plain.exit_code == 0
    assert len(decoded(tmp_path / "reel.mkv")) == len(decoded(tmp_path / "plain.mkv")) == 189
    assert white_below(tmp_path / "reel.mkv") > white_below(tmp_path / "plain.mkv")


def white_below(path: Path) -> int:
    """Pixels in the lowest fifth of the first picture that are whiter than any bar of the footage (210 of 255)."""
    command = [
        ffmpeg_path(),
        "-v",
        "error",
        "-i",
        str(path),
        "-frames:v",
        "1",
        "-f",
        "rawvideo",
        "-pix_fmt",
        "gray",
        "-",
    ]
    picture = subprocess.run(command, check=True, capture_output=True).stdout
    return sum(value > 230 for value in picture[len(picture) * 4 // 5 :])


def test_streams_are_copied_on_request_and_the_inaccuracy_is_said(run: RunCommand, saved: Path, tmp_path: Path) -> None:
    made = run("render", saved, tmp_path / "reel.mp4", "--copy")
    assert INACCURACY in made.stderr
    assert set(range(125, 188)) | set(range(675, 738)) <= set(decoded(tmp_path / "reel.mp4"))
    assert run("render", saved, tmp_path / "reel.mp4", "--copy", "--burn", "title").exit_code == 2


def test_size_rate_and_quality_are_chosen(library: Path, run: RunCommand, tmp_path: Path) -> None:
    saved, sizes = tmp_path / "list.yaml", []
    assert run("cut", "--bout", "first", "--save", saved).exit_code == 0
    for quality in ("draft", "standard", "high"):
        reel = tmp_path / f"{quality}.mp4"
        words = ("--size", "96x54", "--rate", "50", "--quality", quality, "--format", "json")
        made = run("render", saved, reel, *words)
        assert made.exit_code == 0
        assert "Pictures of 192x108 are scaled to 96x54" in made.stderr
        document = json.loads(made.stdout)
        assert (document["frames"], document["rate"]) == (378, "50")
        assert decoded(reel, (96, 54))[::2] == decoded(reel, (96, 54))[1::2]
        sizes.append(reel.stat().st_size)
    assert sizes == sorted(set(sizes))
    for words in (("--rate", "1e9999"), ("--size", "1e9999x2"), ("--quality", "best"), ("--copy", "--rate", "50")):
        assert run("render", saved, tmp_path / "none.mp4", *words).exit_code == 2, words
    assert not (tmp_path / "none.mp4").exists()


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_a_cancelled_render_leaves_what_was_there(
    library: Path, run: RunCommand, tmp_path: Path, number: signal.Signals
) -> None:
    assert run("cut", "--at", "bouts/first.md:14", "--before", "99", "--after", "99", "--save", tmp_path / "l.yaml")
    folder = tmp_path / "reels"
    folder.mkdir()
    (folder / "reel.mp4").write_bytes(b"an older reel")
    program = [sys.executable, "-c", "from fightnotes.cli.main import app; app()"]
    words = ["render", str(tmp_path / "l.yaml"), str(folder / "reel.mp4"), "--burn", "clock", "--library", str(library)]
    with subprocess.Popen([*program, *words], stderr=subprocess.PIPE, text=True) as process:
        wait_for(lambda: any(folder.glob(".reel.mp4*/*")))  # at work; a folder just made goes with the next render
        process.send_signal(number)
        _, said = process.communicate(timeout=60)
    assert process.returncode == 130, said
    assert "cancelled" in said
    assert [path.name for path in folder.iterdir()] == ["reel.mp4"]
    assert (folder / "reel.mp4").read_bytes() == b"an older reel"


def wait_for(happened: Callable[[], bool]) -> None:
    for _ in range(6000):
        if happened():
            return
        time.sleep(0.01)
    raise AssertionError("nothing happened in a minute")


def test_a_contact_sheet_has_a_still_for_each_cut(run: RunCommand, tmp_path: Path) -> None:
    made = run("cut", "--tag", "outside step", "--sheet", tmp_path / "steps.png")
    assert made.exit_code == 0
    data = (tmp_path / "steps.png").read_bytes()
    # Portable Network Graphics (W3C), 11.2.2: IHDR begins with width and height. Three stills of 320 by 236 in a row.
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">II", data[16:24]) == (4 * 8 + 3 * 320, 2 * 8 + 236)


def test_no_footage_at_all_is_an_error(run: RunCommand, tmp_path: Path) -> None:
    run("cut", "--bout", "gone", "--save", tmp_path / "gone.yaml")
    made = run("render", tmp_path / "gone.yaml", tmp_path / "reel.mp4")
    assert made.exit_code == 1
    assert "none of the footage is at hand: media/gone.mp4" in made.stderr
    assert not (tmp_path / "reel.mp4").exists()
    assert run("render", tmp_path / "none.yaml", tmp_path / "reel.mp4").exit_code == 1


def test_notes_and_footage_are_never_written_over(library: Path, run: RunCommand, saved: Path) -> None:
    files = {path: path.read_bytes() for folder in ("bouts", "media") for path in (library / folder).iterdir()}
    assert run("cut", "step", "--out", library / "bouts" / "first.md").exit_code == 1
    assert run("cut", "step", "--save", library / "vocabulary.yaml").exit_code == 1
    assert run("render", saved, library / "media" / "first.mp4").exit_code == 1
    assert run("render", saved, library / "media" / "gone.mp4").exit_code == 1
    footage_twin = library / "reel.mp4"
    footage_twin.hardlink_to(library / "media" / "first.mp4")
    for words in (("render", saved, footage_twin), ("render", saved, footage_twin, "--copy")):
        assert run(*words).exit_code == 1, words
    link, twin = library / "link.yaml", library / "twin.md"
    link.symlink_to(library / "vocabulary.yaml")
    twin.hardlink_to(library / "bouts" / "first.md")
    (library / "bouts" / "newer.md").write_text("---\nbout: newer\n---\n- 0:01 A jab.\n")
    (library / "rejected-terms.yaml").write_text("- jab\n")
    for words in (
        ("cut", "step", "--save", link, "--force"),
        ("cut", "step", "--out", twin),
        ("cut", "step", "--out", library / "bouts" / "newer.md"),
        ("cut", "step", "--sheet", library / ".fightnotes" / "sheet.png"),
        ("audit", "--html", library / "library.yaml"),
        ("audit", "--html", link),
        ("vocabulary", "export", twin, "--format", "turtle"),
        ("vocabulary", "export", library / "rejected-terms.yaml", "--format", "turtle"),
    ):
        refused = run(*words)
        assert refused.exit_code == 1, words
        assert "belongs to the library or is footage: give another name" in refused.stderr, words
    assert (library / "rejected-terms.yaml").read_text() == "- jab\n"
    assert (library / "bouts" / "newer.md").read_text().endswith("A jab.\n")
    assert {path: path.read_bytes() for path in files} == files
    assert not (library / "media" / "gone.mp4").exists()
