"""Cut lists read back by other programs.

OpenTimelineIO JSON by opentimelineio; CMX 3600 by otio-cmx3600-adapter; WebVTT by webvtt-py and pysubs2; SubRip by
srt and pysubs2; the Markdown table by markdown-it-py; timecodes, drop-frame as SMPTE ST 12-1 counts, by opentimelineio
and the package `timecode`; CSV by Python's csv; the concat script by ffmpeg. Marker colours are opentimelineio's
constants; the comment `LOC` is read by otio-cmx3600-adapter.
"""

from __future__ import annotations

import csv
import html
import io
import re
import shlex
import shutil
import subprocess
from fractions import Fraction
from pathlib import Path, PurePath

import opentimelineio as otio
import pysubs2
import pytest
import srt
import webvtt
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from timecode.timecode import Timecode as ReferenceTimecode

from fightnotes.clock import parse_timecode
from fightnotes.cutting import CAUTIONS, CutList, assemble, export, export_files, find_media
from fightnotes.cutting.ffmpeg import ffmpeg_path
from fightnotes.cutting.timeline import lay_out
from fightnotes.errors import ExportError
from fightnotes.model import FOOTAGE, Fields, Handles, Recording
from tests.cut_samples import a_bout, a_candidate, decoded, make_footage

RATES = [
    pytest.param(Fraction(25), False, id="25"),
    pytest.param(Fraction(30000, 1001), True, id="29.97-drop"),
    pytest.param(Fraction(30000, 1001), False, id="29.97"),
    pytest.param(Fraction(60), False, id="60"),
]
HANDLES = Handles(before=Fraction(1, 2), after=Fraction(3, 2))


def a_cut_list(rate: Fraction, drop: bool, first_frame: int = 0) -> CutList:
    recording = {"rate": rate, "drop_frame": drop, "first_frame": first_frame}
    one = a_bout(recording=recording)
    two = a_bout("ljungskär-öst", title="Ljungskär v Öst <final> | A&B --> C", recording=recording)
    candidates = [
        a_candidate(one, "59.3", "60.1", line=3, text="steps *outside* | jab"),
        a_candidate(two, 3, "3.04", line=4),
        a_candidate(one, 600, "603.7", line=5, title="Cold open"),
    ]
    return assemble(candidates, {}, handles=HANDLES, order="hand")


def frames_in(cut_list: CutList) -> list[tuple[int, int]]:
    return [(c.media.first_frame + c.start_frame, c.media.first_frame + c.end_frame_exclusive) for c in cut_list.cuts]


def record_frames(cut_list: CutList) -> list[tuple[int, int]]:
    return [(event.start_frame, event.end_frame_exclusive) for event in lay_out(cut_list.cuts).events]


@pytest.mark.parametrize(("rate", "drop"), RATES)
def test_opentimelineio_reads_the_frames(rate: Fraction, drop: bool) -> None:
    cut_list = a_cut_list(rate, drop, first_frame=90_000)
    timeline = otio.adapters.read_from_string(export(cut_list, "otio", {}), "otio_json")
    for track in timeline.tracks:
        clips = list(track.find_clips())
        read = [(c.source_range.start_time.value, c.source_range.end_time_exclusive().value) for c in clips]
        assert read == frames_in(cut_list)
        assert {c.source_range.start_time.rate for c in clips} == {float(rate)}
        laid = [c.range_in_parent() for c in clips]
        assert [(int(r.start_time.value), int(r.end_time_exclusive().value)) for r in laid] == record_frames(cut_list)
    assert [track.kind for track in timeline.tracks] == ["Video", "Audio"]
    references = [clip.media_reference for clip in timeline.video_tracks()[0].find_clips()]
    files = [cut.media.file for cut in cut_list.cuts]
    assert [otio.url_utils.filepath_from_url(one.target_url) for one in references] == files
    assert [one.name for one in references] == [PurePath(file).name for file in files]
    assert list(timeline.metadata["fightnotes"]["remarks"])[:2] == list(CAUTIONS)


@pytest.mark.parametrize(("rate", "drop"), RATES)
def test_moments_are_markers_inside_their_clips(rate: Fraction, drop: bool) -> None:
    cut_list = a_cut_list(rate, drop, first_frame=90_000)
    timeline = otio.adapters.read_from_string(export(cut_list, "otio", {}), "otio_json")
    for clip, cut in zip(timeline.video_tracks()[0].find_clips(), cut_list.cuts, strict=True):
        (marker,) = clip.markers
        assert (marker.name, marker.comment) == (cut.title, cut.text)
        assert marker.color == otio.schema.MarkerColor.RED
        assert {key: list(value) for key, value in marker.metadata["fightnotes"].items() if key != "note"} == {
            "tags": ["cross"], "by": ["corvale"], "on": [], "target": [], "outcome": ["landed"],
        }  # fmt: skip
        assert marker.metadata["fightnotes"]["note"] == cut.moments[0].candidate.place
        assert clip.metadata["fightnotes"]["handles"] == dict(zip(("before", "after"), cut.handle_frames, strict=True))
        assert clip.source_range.contains(marker.marked_range.start_time)
        moment = cut.moments[0]
        assert marker.marked_range.start_time.value - 90_000 == int(moment.start * rate)


@pytest.mark.parametrize(("rate", "drop"), RATES)
@pytest.mark.parametrize("first_frame", [0, 107_892])
def test_an_edl_reader_reads_the_frames(rate: Fraction, drop: bool, first_frame: int) -> None:
    cut_list = a_cut_list(rate, drop, first_frame)
    text = export(cut_list, "edl", {})
    timeline = otio.adapters.read_from_string(text, "cmx_3600", rate=float(rate))
    assert [track.name for track in timeline.tracks] == ["V", "A1", "A2"]
    for track in timeline.tracks:
        clips = list(track.find_clips())
        read = [(c.source_range.start_time.value, c.source_range.end_time_exclusive().value) for c in clips]
        assert read == frames_in(cut_list)
        assert len(list(track)) == len(clips), "record times are contiguous: no gap was read"
        assert track.duration().value == record_frames(cut_list)[-1][1]
        assert [c.metadata["cmx_3600"]["reel"] for c in clips] == ["CORVALEB", "LJUNGSKA", "CORVALEB"]
        assert [c.name for c in clips] == [
            "corvale-brandaal-2031.mp4",
            "ljungskar-ost.mp4",
            "corvale-brandaal-2031.mp4",
        ]
        assert "COMMENT: Cold open" in clips[2].metadata["cmx_3600"]["comments"]
    for caution in CAUTIONS:
        assert text.count(caution) == 1


@pytest.mark.parametrize(("rate", "drop"), RATES)
def test_timecodes_are_those_of_opentimelineio(rate: Fraction, drop: bool) -> None:
    cut_list = a_cut_list(rate, drop, first_frame=107_892)
    rows = list(csv.DictReader(io.StringIO(export(cut_list, "csv", {}))))
    assert [(int(row["in_frame"]), int(row["out_frame_exclusive"])) for row in rows] == frames_in(cut_list)
    for row, record in zip(rows, record_frames(cut_list), strict=True):
        written = [row["in_timecode"], row["out_timecode_exclusive"], row["record_in"], row["record_out_exclusive"]]
        frames = [int(row["in_frame"]), int(row["out_frame_exclusive"]), *record]
        reference = [otio.opentime.RationalTime(frame, float(rate)) for frame in frames]
        assert written == [otio.opentime.to_timecode(time, float(rate), drop) for time in reference]


@pytest.mark.parametrize(("rate", "drop"), RATES)
@pytest.mark.parametrize("start", ["00:00:00:00", "01:00:00:00", "09:58:30:00"])
def test_the_reel_starts_where_it_is_asked_to(rate: Fraction, drop: bool, start: str) -> None:
    """The frame of the start by opentimelineio, its label and those of the out points by the package `timecode`."""
    made = a_cut_list(rate, drop)
    cut_list = made.model_copy(update={"reel_start": parse_timecode(start)})
    label = start[:8] + ";00" if drop else start
    first = int(otio.opentime.from_timecode(label, float(rate)).value)
    name = {Fraction(30000, 1001): "29.97"}.get(rate, str(rate))
    rows = list(csv.DictReader(io.StringIO(export(cut_list, "csv", {}))))
    for row, (begin, end) in zip(rows, record_frames(made), strict=True):
        assert (int(row["record_in_frame"]), int(row["record_out_frame_exclusive"])) == (first + begin, first + end)
        for written, frame in ((row["record_in"], begin), (row["record_out_exclusive"], end)):
            reference = ReferenceTimecode(name, frames=first + frame + 1, force_non_drop_frame=not drop)
            assert written == str(reference)
    timeline = otio.adapters.read_from_string(export(cut_list, "otio", {}), "otio_json")
    assert otio.opentime.to_timecode(timeline.global_start_time, float(rate), drop) == label
    events = [line.split() for line in export(cut_list, "edl", {}).splitlines() if line[:1].isdigit()]
    assert [words[6] for words in events] == [row["record_in"] for row in rows]
    assert [words[7] for words in events] == [row["record_out_exclusive"] for row in rows]


@pytest.mark.parametrize("rate", [Fraction(25), Fraction(30000, 1001), Fraction(60)])
def test_an_edl_reader_finds_the_markers(rate: Fraction) -> None:
    """Non-drop, as the adapter knows no marker with `;`. Record times, common practice, no source."""
    cut_list = a_cut_list(rate, False)
    clips = otio.adapters.read_from_string(export(cut_list, "edl", {}), "cmx_3600", rate=float(rate)).video_tracks()[0]
    for clip, cut, (begin, _) in zip(clips.find_clips(), cut_list.cuts, record_frames(cut_list), strict=True):
        (marker,) = clip.markers
        assert marker.color == otio.schema.MarkerColor.RED
        assert marker.name.endswith("#cross by:corvale outcome:landed")
        assert marker.marked_range.start_time.value == begin + cut.handle_frames[0]


def test_a_joined_cut_has_a_marker_for_each_of_its_moments() -> None:
    """At 25 a second: 10 to 11 and 12 to 13 s with half a second before and 1.5 after are one cut of 9.5 to 14.5 s."""
    bout = a_bout()
    both = [a_candidate(bout, 10, line=1), a_candidate(bout, 12, line=2, fields=Fields(by=("brandaal",)))]
    cut_list = assemble(both, {}, HANDLES)
    (clip,) = otio.adapters.read_from_string(export(cut_list, "edl", {}), "cmx_3600", rate=25).video_tracks()[0]
    assert [(m.marked_range.start_time.value, m.color) for m in clip.markers] == [(13, "RED"), (63, "BLUE")]
    (clip,) = otio.adapters.read_from_string(export(cut_list, "otio", {}), "otio_json").video_tracks()[0]
    spans = [(m.marked_range.start_time.value, m.marked_range.duration.value) for m in clip.markers]
    assert spans == [(250, 25), (300, 25)]
    assert dict(clip.metadata["fightnotes"]["handles"]) == {"before": 13, "after": 38}


def test_markers_of_a_drop_frame_edl_are_labelled_drop_frame() -> None:
    cut_list = a_cut_list(Fraction(30000, 1001), True)
    found = re.findall(r"^\* LOC: (\S+) RED ", export(cut_list, "edl", {}), re.MULTILINE)
    frames = [
        begin + cut.handle_frames[0] for cut, (begin, _) in zip(cut_list.cuts, record_frames(cut_list), strict=True)
    ]
    assert [otio.opentime.from_timecode(label, 30000 / 1001).value for label in found] == frames


def test_mixed_rates_make_an_edl_each_with_true_source_timecode() -> None:
    slow, fast = a_bout("slow"), a_bout("fast", recording={"rate": Fraction(60), "first_frame": 216_031})
    cut_list = assemble(
        [a_candidate(slow, 10, 20), a_candidate(fast, 5, "7.33", line=2)], {}, Handles(before=0, after=0), "hand"
    )
    files = export_files(cut_list, "edl", {}, Path("mixed.edl"))
    assert list(files) == [Path("mixed-25.edl"), Path("mixed-60.edl")]
    for (path, text), cut in zip(files.items(), cut_list.cuts, strict=True):
        (clip,) = otio.adapters.read_from_string(text, "cmx_3600", rate=float(cut.rate)).video_tracks()[0].find_clips()
        first = cut.media.first_frame
        assert clip.source_range.start_time.value == first + cut.start_frame, path
        assert clip.source_range.end_time_exclusive().value == first + cut.end_frame_exclusive
        assert clip.metadata["cmx_3600"]["reel"] == cut.reel
    # 216,031 frames at 60 a second are 01:00:00:31; 5 s later the cut begins
    assert " 01:00:05:31 01:00:07:51 00:00:00:00 00:00:02:20" in files[Path("mixed-60.edl")]
    clip = otio.adapters.read_from_string(export(cut_list, "otio", {}), "otio_json").video_tracks()[0][1]
    assert (clip.source_range.start_time.value, clip.source_range.duration.value) == (216_331, 140)
    assert clip.source_range.start_time.rate == 60


@pytest.mark.parametrize(("rate", "drop"), RATES)
@pytest.mark.parametrize("reader", ["webvtt-py", "pysubs2"])
def test_chapters_are_read_by_two_parsers(rate: Fraction, drop: bool, reader: str) -> None:
    cut_list = a_cut_list(rate, drop)
    text = export(cut_list, "chapters", {})
    if reader == "webvtt-py":
        captions = webvtt.from_string(text).captions
        spans = [(_thousandths(c.start), _thousandths(c.end)) for c in captions]
        titles = [c.text for c in captions]
    else:
        events = pysubs2.SSAFile.from_string(text, format_="vtt").events
        spans = [(e.start, e.end) for e in events]
        titles = [e.plaintext for e in events]
    assert [tuple(round(ms * rate / 1000) for ms in span) for span in spans] == record_frames(cut_list)
    escaped = [cut.title.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;") for cut in cut_list.cuts]
    assert titles in (escaped, [cut.title for cut in cut_list.cuts])
    for caution in CAUTIONS:
        assert text.count(caution) == 1


@pytest.mark.parametrize(("rate", "drop"), RATES)
def test_captions_are_read_by_two_parsers(rate: Fraction, drop: bool) -> None:
    cut_list = a_cut_list(rate, drop)
    text = export(cut_list, "captions", {})
    read = list(srt.parse(text, ignore_errors=False))
    looks = str.maketrans("<>", "‹›")
    assert [cue.content for cue in read] == [cut.title.replace("-->", "→").translate(looks) for cut in cut_list.cuts]
    spans = [(round(c.start.total_seconds() * rate), round(c.end.total_seconds() * rate)) for c in read]
    assert spans == record_frames(cut_list)
    events = pysubs2.SSAFile.from_string(text, format_="srt").events
    assert [(round(e.start * rate / 1000), round(e.end * rate / 1000)) for e in events] == record_frames(cut_list)


def test_the_markdown_table_keeps_its_cells() -> None:
    cut_list = a_cut_list(Fraction(25), False)
    tokens = MarkdownIt("commonmark").enable("table").parse(export(cut_list, "markdown", {}))
    cells = [_words(token) for token in tokens if token.type == "inline"]
    for cut in cut_list.cuts:
        assert cut.title in cells
        assert cut.text in cells
        assert cut.media.file in cells
    assert sum(token.type == "tr_open" for token in tokens) == 1 + len(cut_list.cuts)


@pytest.mark.parametrize(("rate", "suffix"), [("25", ".mp4"), ("30000/1001", ".mp4"), ("60", ".mkv")])
def test_ffmpeg_runs_the_concat_script_to_the_frame(rate: str, suffix: str, tmp_path: Path) -> None:
    name = "it's a bout"
    bout = a_bout(name, recording={"file": f"{name}{suffix}", "rate": Fraction(rate)})
    make_footage(tmp_path / f"{name}{suffix}", rate, frames=240)
    again = bout.model_copy(update={"id": "another", "recordings": bout.recordings})
    media, _ = find_media([bout], tmp_path)
    candidates = [
        a_candidate(bout, "2.5", 3, line=1),
        a_candidate(again, 0, 1, line=2),
        a_candidate(bout, 0, "0.7", line=3),
        a_candidate(again, "3.3", "3.9", line=4),
    ]
    cut_list = assemble(candidates, media, Handles(before=0, after=0), "hand")
    script = tmp_path / "reel.ffconcat"
    script.write_text(export(cut_list, "concat", media), encoding="utf-8")
    command = next(line for line in script.read_text().splitlines() if line.startswith("# ffmpeg "))
    words = shlex.split(command.removeprefix("# ffmpeg ").replace("THIS_FILE", shlex.quote(str(script))))
    subprocess.run([ffmpeg_path(), "-v", "error", *words], cwd=tmp_path, check=True)
    assert decoded(tmp_path / "reel.mp4") == [
        frame for cut in cut_list.cuts for frame in range(cut.start_frame, cut.end_frame_exclusive)
    ]


def test_a_container_without_an_index_is_refused_by_concat(tmp_path: Path) -> None:
    bout = a_bout("stream", recording={"file": "stream.ts"})
    make_footage(tmp_path / "stream.ts", "25", frames=50)
    media, _ = find_media([bout], tmp_path)
    with pytest.raises(ExportError, match=r"stream\.ts"):
        export(assemble([a_candidate(bout, 1)], media), "concat", media)


HOSTILE = [
    "arrow 0:01 --> 0:02 in it",
    "two\nlines\r\n\r\n3\n00:00:09,000 --> 00:00:10,000\nand a cue",
    "bell\x07 null\x00 escape\x1b[31m half \ud800 over\u202eturned",
    "<i>tag</i> {\\an8} & &lt;",
    "-leading dash: 'quotes' \"double\" `ticks` | pipe",
    "* LOC: 01:00:00:00 RED x",
    "FROM CLIP NAME: other.mov",
    "Miłosz Strzemior v 風堀 澪 “quoted” – so",
]


def hostile_list(suffix: str = ".mov") -> CutList:
    candidates = []
    for number, text in enumerate(HOSTILE):
        bout = a_bout(f"bout-{number}", title=text, recording={"file": f"media/{number} {PLAIN_NAMES[number]}{suffix}"})
        candidates.append(a_candidate(bout, 10, 11, line=2, text=text, title=text))
    return assemble(candidates, {}, HANDLES, "hand", title="--> \n* LOC: a\x00b")


PLAIN_NAMES = ["a:b", "it's", "100%", "-dash", "a;b", "#hash?", "sp ace", "Miłosz 風"]


def test_no_text_breaks_an_edl() -> None:
    cut_list = hostile_list()
    text = export(cut_list, "edl", {})
    assert text.isascii()
    assert text.replace("\n", "").isprintable()
    clips = list(otio.adapters.read_from_string(text, "cmx_3600", rate=25).video_tracks()[0].find_clips())
    assert [len(clip.markers) for clip in clips] == [1] * len(HOSTILE)
    names = [f"{number} {name}.mov" for number, name in enumerate(PLAIN_NAMES)]
    assert [clip.name for clip in clips] == [*names[:-1], "7 Milosz Feng.mov"]
    read = [(c.source_range.start_time.value, c.source_range.end_time_exclusive().value) for c in clips]
    assert read == frames_in(cut_list)
    assert 'COMMENT: Milosz Strzemior v FengKu Ling "quoted" - so' in clips[-1].metadata["cmx_3600"]["comments"]


def test_no_text_breaks_captions_or_chapters() -> None:
    cut_list = hostile_list()
    captions, chapters = export(cut_list, "captions", {}), export(cut_list, "chapters", {})
    cues = list(srt.parse(captions, ignore_errors=False))
    assert [cue.index for cue in cues] == list(range(1, len(HOSTILE) + 1))
    assert srt.compose(cues, reindex=False).strip() == captions.strip()
    assert cues[1].content == "two lines 3 00:00:09·000 → 00:00:10·000 and a cue"
    events = pysubs2.SSAFile.from_string(captions, format_="srt").events
    assert [event.plaintext for event in events] == [cue.content for cue in cues]
    assert events[3].plaintext == "‹i›tag‹/i› ❴\\an8❵ & &lt;"
    assert events[2].plaintext == "bell null escape[31m half overturned"
    cues = webvtt.from_string(chapters).captions
    # W3C WebVTT, 4.2.2: in cue text `&`, `<` and `>` are written as the character references of HTML
    assert [html.unescape(cue.raw_text) for cue in cues] == [cut.title for cut in cut_list.cuts]


def test_no_cell_of_the_csv_is_a_formula() -> None:
    """OWASP, "CSV Injection": a cell that begins so is one; an apostrophe before it makes it text."""
    signs = ("=", "+", "-", "@", "\t", "\r")
    bouts = [a_bout(f"{sign.strip()}{n}", recording={"file": f"{sign}1+1.mov"}) for n, sign in enumerate(signs)]
    picked = [
        a_candidate(bout, 1, line=n, title=f"{sign}cmd|'/c'!A1", text=f"{sign}1+1")
        for n, (bout, sign) in enumerate(zip(bouts, signs, strict=True), start=1)
    ]
    text = export(assemble(picked, {}, HANDLES, "hand"), "csv", {})
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert not [cell for row in rows for cell in row.values() if cell.startswith(signs)]
    assert [row["media"] for row in rows] == [f"'{sign}1+1.mov" for sign in signs]
    assert rows[0]["title"] == "'=cmd|'/c'!A1"


def test_no_name_breaks_a_path_in_opentimelineio() -> None:
    cut_list = hostile_list()
    timeline = otio.adapters.read_from_string(export(cut_list, "otio", {}), "otio_json")
    read = [
        otio.url_utils.filepath_from_url(c.media_reference.target_url) for c in timeline.video_tracks()[0].find_clips()
    ]
    assert read == [cut.media.file for cut in cut_list.cuts]


def test_no_name_breaks_the_concat_script(tmp_path: Path) -> None:
    """Read by ffmpeg, the files beside the script and not told to be at hand."""
    (tmp_path / "media").mkdir()
    cut_list = hostile_list(".mkv")
    make_footage(tmp_path / "one.mkv", "25", frames=330, sound=False)  # its first picture stands at 0
    for cut in cut_list.cuts:
        shutil.copy(tmp_path / "one.mkv", tmp_path / str(cut.media.file))
    script = tmp_path / "reel.ffconcat"
    script.write_text(export(cut_list, "concat", {}), encoding="utf-8")
    lines = script.read_text(encoding="utf-8").splitlines()
    assert sum("was not at hand" in line for line in lines) == len(cut_list.cuts)
    command = next(line for line in lines if line.startswith("# ffmpeg "))
    words = shlex.split(command.removeprefix("# ffmpeg ").replace("THIS_FILE", shlex.quote(str(script))))
    subprocess.run([ffmpeg_path(), "-v", "error", *words], cwd=tmp_path, check=True)
    assert decoded(tmp_path / "reel.mp4") == [
        frame for cut in cut_list.cuts for frame in range(cut.start_frame, cut.end_frame_exclusive)
    ]


def test_a_name_of_two_lines_is_refused_by_concat() -> None:
    bout = a_bout(recording={"file": "media/two\nlines.mp4"})
    with pytest.raises(ExportError, match="line break in its name"):
        export(assemble([a_candidate(bout, 1)], {}), "concat", {})


def test_the_timestamps_are_lines_to_paste() -> None:
    """A time from 0:00 on and a title, and nothing else: what pages that show a film make links of (common practice,
    no source)."""
    lines = export(hostile_list(), "timestamps", {}).splitlines()
    assert len(lines) == len(HOSTILE)
    assert lines[0].startswith("0:00 ")
    assert all(re.match(r"\d+:\d\d \S", line) for line in lines)


any_text = st.text(
    st.characters(exclude_categories=()) | st.sampled_from("-->\n\r\0{}<>&'\"\\\x1b*:;,|=+@"), max_size=40
)


@settings(max_examples=150, deadline=None)
@given(st.lists(any_text, min_size=1, max_size=4), any_text)
def test_any_text_leaves_every_export_readable(texts: list[str], title: str) -> None:
    picked = [a_candidate(a_bout(), 10 * n, line=n, text=text, title=text) for n, text in enumerate(texts, start=1)]
    cut_list = assemble(picked, {}, HANDLES, "hand", title=title)
    titles = [cut.title for cut in cut_list.cuts]
    assert all(titles)
    edl = export(cut_list, "edl", {})
    assert edl.isascii()
    assert edl.replace("\n", "").isprintable()
    assert len(list(otio.adapters.read_from_string(edl, "cmx_3600", rate=25).video_tracks()[0].find_clips())) == len(
        texts
    )
    captions = export(cut_list, "captions", {})
    assert len(list(srt.parse(captions, ignore_errors=False))) == len(texts)
    assert len(pysubs2.SSAFile.from_string(captions, format_="srt").events) == len(texts)
    chapters = webvtt.from_string(export(cut_list, "chapters", {})).captions
    assert [html.unescape(cue.raw_text) for cue in chapters] == titles
    clips = otio.adapters.read_from_string(export(cut_list, "otio", {}), "otio_json").video_tracks()[0]
    assert [clip.name for clip in clips] == titles
    rows = list(csv.DictReader(io.StringIO(export(cut_list, "csv", {}), newline="")))
    assert [row["title"].removeprefix("'") for row in rows] == [title.removeprefix("'") for title in titles]
    assert len(export(cut_list, "timestamps", {}).splitlines()) == len(texts)
    assert export(cut_list, "concat", {}).count("\nfile ") == len(texts)
    markdown = MarkdownIt("commonmark").enable("table").parse(export(cut_list, "markdown", {}))
    assert sum(token.type == "tr_open" for token in markdown) == 1 + len(texts)


times = st.fractions(min_value=0, max_value=4000, max_denominator=1001)
rates = st.sampled_from(
    [(Fraction(25), False), (Fraction(24000, 1001), False), (Fraction(30000, 1001), True), (Fraction(50), False)]
)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(times, st.fractions(0, 20, max_denominator=100)), min_size=1, max_size=8), rates)
def test_any_cut_list_is_read_back_frame_for_frame(
    moments: list[tuple[Fraction, Fraction]], counted: tuple[Fraction, bool]
) -> None:
    rate, drop = counted
    bout = a_bout(recordings={FOOTAGE: Recording(file="a.mov", rate=rate, drop_frame=drop, first_frame=1800)})
    picked = [a_candidate(bout, start, start + long, line) for line, (start, long) in enumerate(moments, start=1)]
    cut_list = assemble(picked, {}, Handles(before=1, after=1), "hand")
    edl = otio.adapters.read_from_string(export(cut_list, "edl", {}), "cmx_3600", rate=float(rate))
    for timeline in (edl, otio.adapters.read_from_string(export(cut_list, "otio", {}), "otio_json")):
        clips = list(timeline.video_tracks()[0].find_clips())
        read = [(c.source_range.start_time.value, c.source_range.end_time_exclusive().value) for c in clips]
        assert read == frames_in(cut_list)


def _thousandths(stamp: str) -> int:
    hours, minutes, seconds = stamp.split(":")
    return round((int(hours) * 3600 + int(minutes) * 60 + float(seconds)) * 1000)


def _words(token: object) -> str:
    return "".join(child.content for child in token.children)  # type: ignore[attr-defined]
