"""What is peculiar to a file: its own timecode, how it is turned, its sound; and files that are refused."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from fightnotes.cutting import (
    BurntIn,
    CutList,
    RenderPlan,
    assemble,
    contact_sheet,
    find_media,
    plan_render,
    probe,
    reel_form,
    render,
    stream_copy,
)
from fightnotes.cutting.ffmpeg import ffmpeg_path
from fightnotes.cutting.finding import recording_lengths
from fightnotes.errors import ExportError, UsageError
from fightnotes.model import Bout, Handles
from tests.cut_samples import a_bout, a_candidate, decoded
from tests.footage_kinds import H264, MP2, MPEG2, MPEG4, PCM, copied, film, with_hidden_pre_roll

NO_HANDLES = Handles(before=Fraction(0), after=Fraction(0))


def bout_of(file: str, **recording: object) -> Bout:
    return a_bout(Path(file).stem, recording={"file": file, **recording})


def list_of(folder: Path, *bouts: Bout) -> CutList:
    media, wrong = find_media(bouts, folder)
    assert wrong == ()
    return assemble([a_candidate(bout, 1, 2, line=line) for line, bout in enumerate(bouts)], media, NO_HANDLES, "hand")


def plan_of(folder: Path, *bouts: Bout) -> RenderPlan:
    return plan_render(list_of(folder, *bouts), find_media(bouts, folder)[0])


@pytest.mark.parametrize(
    ("file", "video", "more"),
    [
        ("track.mov", H264, ("-timecode", "10:00:00:00")),
        ("container.mxf", MPEG2, (*PCM, "-timecode", "10:00:00:00")),
        ("group.ts", (*MPEG2, "-timecode", "10:00:00:00"), MP2),
    ],
)
def test_timecode_counts_from_the_files_own_start_and_one_that_differs_is_said(
    file: str, video: tuple[str, ...], more: tuple[str, ...], tmp_path: Path
) -> None:
    """A timecode track of QuickTime, the header of MXF, and the time code of MPEG-2's group of pictures header."""
    film(tmp_path / file, video, more, frames=60)
    made = list_of(tmp_path, bout_of(file))
    (cut,) = made.cuts
    assert (cut.start_frame, str(cut.media.first_frame)) == (25, str(10 * 3600 * 25))
    assert any("timecode counts from the file's own start, 10:00:00:00" in note for note in made.notes)
    alike = list_of(tmp_path, bout_of(file, first_frame=10 * 3600 * 25))
    assert not any("timecode" in note for note in alike.notes)
    other = list_of(tmp_path, bout_of(file, first_frame=3600 * 25))
    assert other.cuts[0].media.first_frame == 3600 * 25
    said = "the notes say that timecode starts at 01:00:00:00, the file 10:00:00:00: notes taken"
    assert any(said in note for note in other.notes)


def test_drop_frame_timecode_is_counted_as_such(tmp_path: Path) -> None:
    film(tmp_path / "drop.mov", more=("-timecode", "01:00:00;00"), rate="30000/1001", frames=60)
    made = list_of(tmp_path, bout_of("drop.mov", rate=Fraction(30000, 1001)))
    # An hour of drop-frame labels is 107,892 frames (SMPTE ST 12-1).
    assert (made.cuts[0].media.first_frame, made.cuts[0].drop_frame) == (107_892, True)
    slow = list_of(tmp_path, bout_of("drop.mov", rate=Fraction(25)))
    assert any("01:00:00;00 does not exist at 25 frames a second" in note for note in slow.notes)


def test_a_reel_of_upright_clips_is_upright(tmp_path: Path) -> None:
    """One is stored upright, one turned by the matrix that phones write."""
    film(tmp_path / "wide.mp4", size=(192, 108), frames=60)
    film(tmp_path / "upright.mp4", size=(108, 192), frames=60)
    film(tmp_path / "flat.mp4", size=(108, 192), frames=60)
    # Numbered upright pictures, stored lying: turned back by the matrix.
    film(tmp_path / "lying.mp4", (*H264, "-vf", "transpose=cclock"), size=(108, 192), frames=60)
    copied(tmp_path / "lying.mp4", tmp_path / "turned.mp4", ("-display_rotation", "-90"))
    turned = probe(tmp_path / "turned.mp4")
    assert (turned.width, turned.height) == (108, 192)
    plan = plan_of(tmp_path, bout_of("turned.mp4"), bout_of("upright.mp4"), bout_of("wide.mp4"))
    assert (plan.width, plan.height) == (108, 192)
    made = render(plan, tmp_path / "reel.mp4")
    assert decoded(made.path, (108, 192))[:50] == [*range(25, 50), *range(25, 50)]
    assert any("108x192, 192x108 are scaled to 108x192" in note for note in made.notes)


def test_sound_stays_as_it_is_and_silence_is_put_in_where_there_is_none(tmp_path: Path) -> None:
    film(tmp_path / "mono.mp4", frames=60)
    film(tmp_path / "silent.mp4", frames=60, sounds=())
    film(tmp_path / "both.mkv", frames=60, sounds=(1, 2))
    mono = render(plan_of(tmp_path, bout_of("mono.mp4"), bout_of("silent.mp4")), tmp_path / "one.mp4")
    assert probe(mono.path).channels == (1,)
    assert "1 of 2 cuts have no sound and are silent." in mono.notes
    several = render(plan_of(tmp_path, bout_of("mono.mp4"), bout_of("both.mkv")), tmp_path / "two.mkv")
    assert probe(several.path).channels == (1, 2)
    assert probe(render(plan_of(tmp_path, bout_of("silent.mp4")), tmp_path / "none.mov").path).channels == ()


def test_size_and_rate_of_a_reel_are_chosen(tmp_path: Path) -> None:
    film(tmp_path / "one.mp4", frames=60)
    bout = bout_of("one.mp4")
    plan = plan_render(list_of(tmp_path, bout), find_media([bout], tmp_path)[0], reel_form("96x96", "50", "draft"))
    made = render(plan, tmp_path / "reel.mp4")
    reel = probe(made.path)
    assert (reel.width, reel.height, reel.rate, made.frames) == (96, 96, 50, 50)
    assert decoded(made.path, (96, 96)) == [frame for frame in range(25, 50) for _ in range(2)]
    assert any("Record times count at 50, as chosen" in note for note in made.notes)


@pytest.mark.parametrize(
    ("size", "rate"),
    [("1e9999", None), ("191x108", None), ("0x0", None), ("-64x64", None), ("64x9999999", None), ("64x64\n", None)]
    + [(None, rate) for rate in ("1e9999", "0", "-25", "nan", "25\n;", "9" * 99)],
)
def test_a_form_that_no_reel_can_have_is_refused(size: str | None, rate: str | None) -> None:
    with pytest.raises(UsageError):
        reel_form(size, rate)


def test_a_clock_that_is_set_back_is_refused_with_the_way_out(tmp_path: Path) -> None:
    film(tmp_path / "once.ts", frames=60)
    (tmp_path / "twice.ts").write_bytes((tmp_path / "once.ts").read_bytes() * 2)
    with pytest.raises(ExportError, match=r"set back after 0:02.*ffmpeg -i FILE -c copy FILE\.mkv"):
        probe(tmp_path / "twice.ts")
    copied(tmp_path / "twice.ts", tmp_path / "mended.mkv")
    assert decoded(tmp_path / "mended.mkv") == [*range(60), *range(60)]
    plan = plan_of(tmp_path, bout_of("mended.mkv"))
    assert decoded(render(plan, tmp_path / "reel.mp4").path) == list(range(25, 50))


def test_pictures_without_times_that_do_not_come_evenly_are_refused(tmp_path: Path) -> None:
    """Frames 30 to 40 were dropped, for which the container keeps empty places."""
    film(tmp_path / "gap.avi", (*MPEG4, "-vf", "select='not(between(n,30,40))'", "-fps_mode", "vfr"), MP2, frames=60)
    with pytest.raises(ExportError, match="do not come evenly"):
        probe(tmp_path / "gap.avi")


def test_a_list_of_other_files_is_not_opened(tmp_path: Path) -> None:
    film(tmp_path / "secret.ts", frames=30)
    (tmp_path / "list.mp4").write_text("ffconcat version 1.0\nfile secret.ts\n")
    (tmp_path / "list.m3u8").write_text("#EXTM3U\n#EXTINF:1,\nsecret.ts\n#EXT-X-ENDLIST\n")
    for name in ("list.mp4", "list.m3u8"):
        with pytest.raises(ExportError, match=r"a list of other files|no video that ffmpeg can read"):
            probe(tmp_path / name)


@pytest.mark.parametrize(
    "name", ["-dash.mp4", "a:b.mp4", "pipe:0.mp4", "%03d 'q'.mp4", "two\nlines.mp4", "-i,|;[x].mp4"]
)
def test_names_are_names_whatever_stands_in_them(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "-odd: %d"
    folder.mkdir()
    film(tmp_path / "plain.mp4", frames=60)
    (tmp_path / "plain.mp4").rename(folder / name)
    bout = bout_of(f"-odd: %d/{name}")
    cut_list = list_of(tmp_path, bout).model_copy(update={"title": f"-title=x\n{name}\0"})
    plan = plan_render(cut_list, find_media([bout], tmp_path)[0])
    monkeypatch.chdir(tmp_path)
    made = render(plan, Path(f"reel {name}"), BurntIn(title=True, round_clock=True))
    assert made.frames == 25
    copy = stream_copy(plan, Path(name))
    assert set(range(25, 50)) <= set(decoded(copy.path.resolve()))
    contact_sheet(cut_list.cuts, find_media([bout], tmp_path)[0], Path(f"{name}.png"))
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(["-odd: %d", name, f"reel {name}", f"{name}.png"])


def test_the_audit_measures_what_is_shown(tmp_path: Path) -> None:
    """87 frames are shown; what the edit list hides and the sound after the picture are no part of the footage."""
    with_hidden_pre_roll(tmp_path / "hidden.mp4")
    lengths, wrong = recording_lengths([bout_of("hidden.mp4")], tmp_path)
    assert (lengths, wrong) == ({("hidden", "footage"): Fraction(87, 25)}, ())


def test_pictures_are_known_in_the_log_where_another_thread_was_in_the_middle_of_a_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Seen of ffmpeg 9 on a busy machine: it leaves the filter's name out after a line that has not ended."""
    film(tmp_path / "plain.mp4", H264)
    plan = plan_of(tmp_path, bout_of("plain.mp4"))
    expected = decoded(render(plan, tmp_path / "reel.mp4").path)
    torn = tmp_path / "torn-log"
    cut_off = r"s/^\[Parsed_showinfo[^]]*\] \(n: *[03] pts\)/      handler_name    : SoundHandler\1/"
    piped = f"{{ '{ffmpeg_path()}' \"$@\" 2>&1 >&3 | sed '{cut_off}' >&2; }} 3>&1"
    torn.write_text(f"#!/bin/bash\nset -o pipefail\n{piped}\n")
    torn.chmod(0o755)
    monkeypatch.setattr("fightnotes.cutting.ffmpeg.ffmpeg_path", lambda: str(torn))
    rendered = render(plan, tmp_path / "again.mp4")
    assert decoded(rendered.path) == expected
    assert rendered.notes == ()
