"""What surrounds a render: plans, progress, cancelling, bad footage. That its frames are right is checked apart."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from fightnotes.clock import Bell
from fightnotes.cutting import (
    INACCURACY,
    BurntIn,
    CutList,
    Media,
    RenderPlan,
    assemble,
    contact_sheet,
    find_media,
    plan_render,
    render,
    stream_copy,
)
from fightnotes.cutting.ass import DialogueLine, Style, script
from fightnotes.cutting.burnt_in import clock_lines
from fightnotes.cutting.ffmpeg import missing_characters
from fightnotes.errors import ExportError, FightnotesError
from fightnotes.model import Bout, Handles
from tests.cut_samples import a_bout, a_candidate, decoded, make_footage

NONE = Handles(before=Fraction(0), after=Fraction(0))


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("library")
    (folder / "films").mkdir()
    make_footage(folder / "films" / "one.mp4", "25", frames=150)
    make_footage(folder / "two.mp4", "25", frames=150, sound=False)
    return folder


ONE, TWO, GONE = (a_bout(name, recording={"file": f"{name}.mp4"}) for name in ("one", "two", "gone"))


def planned(library: Path, *bouts: Bout) -> tuple[CutList, dict[str, Media], RenderPlan]:
    media, _ = find_media([ONE, TWO, GONE], library, ["films"])
    picked = [a_candidate(bout, start, start + 1, line=start) for bout in bouts for start in (1, 3)]
    made = assemble(picked, media, NONE, "hand")
    return made, media, plan_render(made, media)


def test_footage_is_found_in_the_library_and_its_media_roots(library: Path) -> None:
    media, _ = find_media([ONE, TWO, GONE], library, ["films"])
    assert {file: found.path.relative_to(library.resolve()).as_posix() for file, found in media.items()} == {
        "one.mp4": "films/one.mp4",
        "two.mp4": "two.mp4",
    }
    one = media["one.mp4"]
    assert (one.rate, one.length, one.width, one.height) == (25, 6, 192, 108)
    assert (one.has_sound, media["two.mp4"].has_sound) == (True, False)


def test_missing_footage_is_listed_before_and_the_rest_goes_on(library: Path, tmp_path: Path) -> None:
    made, _, plan = planned(library, ONE, GONE)
    assert [cut.bout.id for cut in plan.missing] == ["gone", "gone"]
    assert any("gone (footage): footage not at hand" in note for note in made.notes)
    rendered = render(plan, tmp_path / "reel.mp4")
    assert (rendered.frames, len(decoded(rendered.path))) == (50, 50)


def test_no_footage_at_all_is_an_error(library: Path) -> None:
    with pytest.raises(ExportError, match=r"gone\.mp4"):
        planned(library, GONE)


class Counted:
    """Progress, noted down; raises `error` after `until` steps."""

    def __init__(self, until: int | None = None, error: type[BaseException] = KeyboardInterrupt) -> None:
        self.stages: list[tuple[str, int]] = []
        self.steps = 0
        self.until, self.error = until, error

    def begin(self, what: str, total: int) -> None:
        self.stages.append((what, total))

    def advance(self, steps: int) -> None:
        self.steps += steps
        if self.until is not None and self.steps >= self.until:
            raise self.error

    def say(self, message: str) -> None:
        raise AssertionError(message)


def test_progress_counts_every_frame(library: Path, tmp_path: Path) -> None:
    seen = Counted()
    render(planned(library, ONE, TWO)[2], tmp_path / "reel.mkv", progress=seen)
    assert (seen.stages, seen.steps) == ([("looking up the cuts", 4), ("rendering", 100)], 104)


@pytest.mark.parametrize("error", [KeyboardInterrupt, RuntimeError])
def test_cancelling_leaves_what_was_there(library: Path, tmp_path: Path, error: type[BaseException]) -> None:
    reel = tmp_path / "reel.mp4"
    reel.write_bytes(b"an older reel")
    with pytest.raises(error):
        render(planned(library, ONE, TWO)[2], reel, progress=Counted(until=30, error=error))
    assert [path.name for path in tmp_path.iterdir()] == ["reel.mp4"]
    assert reel.read_bytes() == b"an older reel"


def test_an_encoder_that_gives_up_is_an_error_and_leaves_nothing(library: Path, tmp_path: Path) -> None:
    plan = planned(library, ONE)[2]
    broken = replace(plan, encoding=("-c:v", "libx264", "-preset", "none such"))
    with pytest.raises(ExportError, match="encoding the picture"):
        render(broken, tmp_path / "reel.mp4")
    assert list(tmp_path.iterdir()) == []


def test_footage_that_went_bad_is_an_error_with_its_name(library: Path, tmp_path: Path) -> None:
    plan = planned(library, ONE)[2]
    bad = tmp_path / "bad.mp4"
    bad.write_bytes(b"no film\0")
    media = tuple(found.model_copy(update={"path": bad}) for found in plan.media)
    with pytest.raises(ExportError, match=r"cut 1: bad\.mp4"):
        render(replace(plan, media=media), tmp_path / "reel.mp4")
    assert [path.name for path in tmp_path.iterdir()] == ["bad.mp4"]
    bout = a_bout("bad", recording={"file": "bad.mp4"})
    media_found, (unreadable,) = find_media([bout], tmp_path)
    assert media_found == {}
    assert "bad.mp4: no video" in unreadable


def test_footage_shorter_than_its_cut_holds_its_last_frame(library: Path, tmp_path: Path) -> None:
    media, _ = find_media([TWO], library)
    cut_list = assemble([a_candidate(TWO, 5, 7)], {}, NONE)
    made = render(plan_render(cut_list, media), tmp_path / "reel.mp4")
    assert decoded(made.path) == [*range(125, 150), *[149] * 25]
    assert made.notes == ("Cut 1: the footage ends 25 frames early; its last frame stands.",)


def test_only_known_kinds_of_file_are_made(library: Path, tmp_path: Path) -> None:
    made, media, plan = planned(library, ONE)
    with pytest.raises(ExportError, match=r"reel\.avi"):
        render(plan, tmp_path / "reel.avi")
    with pytest.raises(ExportError, match=r"sheet\.bmp"):
        contact_sheet(made.cuts, media, tmp_path / "sheet.bmp")
    with pytest.raises(ExportError, match="0 cuts"):
        contact_sheet([], media, tmp_path / "sheet.png")
    with pytest.raises(ExportError, match=r"reel\.avi"):
        stream_copy(plan, tmp_path / "reel.avi")
    (tmp_path / "file").touch()
    with pytest.raises(FightnotesError, match="cannot be written"):
        render(plan, tmp_path / "file" / "reel.mp4")


def test_stream_copy_says_how_far_it_is_off(library: Path, tmp_path: Path) -> None:
    plan = planned(library, ONE)[2]
    done = Counted()
    made = stream_copy(plan, tmp_path / "reel.mp4", done)
    frames = decoded(tmp_path / "reel.mp4")
    # Key frames stand at 0, 48 and 96: the cuts of 25 to 49 and 75 to 99 begin there.
    assert frames[0] == 0
    assert set(range(25, 50)) | set(range(75, 100)) <= set(frames)
    assert made.frames is None
    assert made.notes[0] == INACCURACY
    assert made.seconds is not None
    off = f"{float(made.seconds - plan.cut_list.duration):.2f} s more than listed."
    assert made.notes[1] == f"The reel lasts {float(made.seconds):.2f} s, {off}"
    assert (done.stages, done.steps) == ([("copying", 2)], 2)
    assert [path.name for path in tmp_path.iterdir()] == ["reel.mp4"]


def test_sources_that_differ_are_not_copied(library: Path, tmp_path: Path) -> None:
    with pytest.raises(ExportError, match=r"one\.mp4.*two\.mp4"):
        stream_copy(planned(library, ONE, TWO)[2], tmp_path / "reel.mp4")
    assert list(tmp_path.iterdir()) == []


def test_the_clock_counts_down_through_the_round_and_says_rest() -> None:
    bells = {number: Bell(Fraction(time), inferred=False) for number, time in ((1, 10), (2, 250))}
    (cut,) = assemble([a_candidate(a_bout(bells=bells), 187, 192)], {}, NONE).cuts
    lines = clock_lines(cut, cut.frames, cut.rate)
    # The round ends at 3:10. A reading of 0:03 holds while more than 2 and at most 3 s are left.
    assert [(line.text, line.start_frame, line.end_frame_exclusive) for line in lines] == [
        ("R1 0:03", 0, 25),
        ("R1 0:02", 25, 50),
        ("R1 0:01", 50, 75),
        ("R1 rest", 75, 125),
    ]


def test_no_clock_where_nothing_places_one() -> None:
    (cut,) = assemble([a_candidate(a_bout(), 187, 192)], {}, NONE).cuts
    assert clock_lines(cut, cut.frames, cut.rate) == []


def test_text_is_drawn_as_written(library: Path, tmp_path: Path) -> None:
    hostile = "{\\b1}bold\\N, 50% 'quoted': a;b"
    text = script([DialogueLine(hostile, 0, 25, "title")], [Style("title", 10, 1, 4, 4)], 192, 108, Fraction(25))
    (dialogue,) = [line for line in text.splitlines() if line.startswith("Dialogue")]
    assert dialogue == "Dialogue: 0,0:00:00.00,0:00:00.98,title,\\{\\\u2060b1\\}bold\\\u2060N, 50% 'quoted': a;b"
    media, _ = find_media([ONE], library, ["films"])
    made = assemble([a_candidate(ONE, 1, 2, title=hostile)], media, NONE)
    assert render(plan_render(made, media), tmp_path / "reel.mp4", BurntIn(title=True)).frames == 25


def test_characters_that_no_font_has_are_named_and_no_font_at_all_is_an_error() -> None:
    """Lines as libass 0.17 logs them."""
    line = "[Parsed_ass_0 @ 0x55] fontselect: failed to find any fallback with glyph 0x{} for font: (Sans, 400, 0)\n"
    assert missing_characters("all is well\n" + line.format("98A8") + line.format("5800")) == {"風", "堀"}
    with pytest.raises(ExportError, match="no font"):
        missing_characters(line.format("98A8") + line.format("42"))
