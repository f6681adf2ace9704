"""`fightnotes draft` on talks of every kind, as a person runs it: what is written is what readers find in the talk."""

from __future__ import annotations

import json
import os
import re
import shutil
from fractions import Fraction
from pathlib import Path

import pytest

from fightnotes.editing.note_lines import END_MATTERS
from fightnotes.errors import UsageError
from fightnotes.library import open_library
from fightnotes.model import Segment
from fightnotes.reading.library import read_library
from tests.conftest import DEMO, RunCommand
from tests.starting.at_terminal import Terminal
from tests.starting.untidy import make, tree

TALKS = {
    "transcripts/corvale-brandaal-2031-breakdown.vtt": "second_look/corvale-brandaal-2031-breakdown.md",
    "transcripts/iturbena-adutwumba-2030-talk.vtt": "second_look/iturbena-adutwumba-2030-talk.md",
    "transcripts/orzhelian-iturbena-2031-breakdown.srt": "second_look/orzhelian-iturbena-2031-breakdown.md",
    "transcripts/orzhelian-thackmoor-2029-talk.srt": "second_look/orzhelian-thackmoor-2029-talk.md",
}
TALK = """WEBVTT

00:20.000 --> 00:24.000
So here's the first round. Corvale circles to her left.

00:24.000 --> 00:28.000
Brandaal waits with both gloves at the belt.

01:10.000 --> 01:14.000
In the second round Corvale steps outside and lands the left hand.
"""
SUBRIP = """1
00:00:20,000 --> 00:00:24,000
So here's the first round. Corvale circles to her left.

2
00:01:10,000 --> 00:01:14,000
In the second round she steps outside.
"""


@pytest.fixture
def demo_copy(tmp_path: Path) -> Path:
    root = tmp_path / "demo"
    shutil.copytree(DEMO, root, ignore=shutil.ignore_patterns(".fightnotes", "undo"))
    return root


def moments(root: Path, file: str) -> list[Segment]:
    """In order of time."""
    found = [segment for segment in read_library(root).segments if segment.file == file]
    return sorted(found, key=lambda one: Fraction(-1) if one.start is None else one.start)


def alike(heard: list[Segment], drafted: list[Segment]) -> None:
    """The same moments but for the marks of doubts: texts, times to the millisecond, who said them."""
    assert [re.sub(r" \[\?[^]]*\]", "", one.text) for one in drafted] == [one.text for one in heard]
    for one, back in zip(heard, drafted, strict=True):
        assert one.start is not None
        assert back.start is not None
        assert abs(back.start - one.start) < Fraction(1, 1000)
        assert one.end is not None
        assert back.end is not None
        assert abs(back.end - one.end) < END_MATTERS
        assert (back.timed_on, back.analyst, back.kind) == (one.timed_on, one.analyst, "note")
        assert (back.footage_start is None) == (one.footage_start is None)


@pytest.mark.parametrize(("talk", "notes"), TALKS.items())
def test_the_talks_of_the_demo(demo_copy: Path, fightnotes: RunCommand, talk: str, notes: str) -> None:
    before, heard = tree(demo_copy), moments(demo_copy, talk)
    done = fightnotes("draft", demo_copy / talk, "--library", demo_copy)
    assert done.exit_code == 0, done.output
    after = tree(demo_copy)
    changed = {name for name in after if after[name] != before.get(name)}
    (bout,) = changed - {notes}
    old, new = (content[bout].decode().splitlines() for content in (before, after))  # type: ignore[union-attr]
    (line,) = [number for number, (one, other) in enumerate(zip(old, new, strict=True)) if one != other]
    assert old[line].replace(talk, notes).replace("kind: transcript", "kind: notes") == new[line]
    assert read_library(demo_copy).problems == ()
    drafted = moments(demo_copy, notes)
    alike(heard, drafted)
    assert not any(one.tags or one.fields.by for one in drafted)
    placed = [(one, back) for one, back in zip(heard, drafted, strict=True) if back.round != one.round]
    for one, back in placed:  # the words name the next round in the rest before it; in a note, the time alone tells
        assert (back.period, back.round) == ("rest", (one.round or 0) - 1)
    assert fightnotes("vocabulary", "undo", "--library", demo_copy).exit_code == 0
    assert tree(demo_copy) == before


@pytest.mark.parametrize("talk", TALKS)
def test_kept_beside_the_notes(demo_copy: Path, fightnotes: RunCommand, talk: str) -> None:
    before, heard = tree(demo_copy), moments(demo_copy, talk)
    assert fightnotes("draft", talk, "--keep", "--to", demo_copy / "notes/a.md", "--library", demo_copy).exit_code == 0
    assert moments(demo_copy, talk) == heard
    alike(heard, moments(demo_copy, "notes/a.md"))
    assert fightnotes("vocabulary", "undo", "--library", demo_copy).exit_code == 0
    assert tree(demo_copy) == before


def test_run_again_it_says_that_the_talk_is_drafted(demo_copy: Path, fightnotes: RunCommand) -> None:
    talk, notes = next(iter(TALKS.items()))
    assert fightnotes("draft", talk, "--library", demo_copy).exit_code == 0
    once = tree(demo_copy)
    again = fightnotes("draft", talk, "--library", demo_copy)
    assert (again.exit_code, again.stdout) == (0, "")
    assert again.stderr == f"{talk} is drafted already, in {notes}: nothing to change\n"
    said = json.loads(fightnotes("draft", talk, "--library", demo_copy, "--format", "json").stdout)
    assert (said["edits"], said["file"]) == ([], notes)
    assert tree(demo_copy) == once
    assert talk not in fightnotes("build", "--library", demo_copy).stderr
    left = fightnotes("start", demo_copy, "--no-ask")
    assert f"left alone, captions drafted as notes: 1 ({talk})" in left.stderr


def test_it_is_moved_and_drafted_still(demo_copy: Path, fightnotes: RunCommand) -> None:
    """Whoever names the notes otherwise has them found by what they say of themselves, as long as a bout names them."""
    talk, notes = next(iter(TALKS.items()))
    assert fightnotes("draft", talk, "--library", demo_copy).exit_code == 0
    (demo_copy / notes).rename(demo_copy / "other.md")
    bout = demo_copy / "bouts/corvale-brandaal-2031.md"
    bout.write_text(bout.read_text(encoding="utf-8").replace(f"../{notes}", "../other.md"), encoding="utf-8")
    assert "is drafted already, in other.md" in fightnotes("draft", talk, "--library", demo_copy).stderr


def test_a_dry_run_shows_the_lines_and_writes_none(demo_copy: Path, fightnotes: RunCommand) -> None:
    talk, notes = next(iter(TALKS.items()))
    before = tree(demo_copy)
    shown = fightnotes("draft", talk, "--library", demo_copy, "--dry-run")
    assert shown.exit_code == 0
    assert f"+++ {notes}\n" in shown.stdout
    assert "+- 0:20.063" in shown.stdout
    assert f"dry run: draft {notes}; nothing is written" in shown.stderr
    assert tree(demo_copy) == before


def test_the_document_names_what_was_put_right(demo_copy: Path, fightnotes: RunCommand) -> None:
    talk, notes = next(iter(TALKS.items()))
    said = json.loads(fightnotes("draft", talk, "--library", demo_copy, "--format", "json").stdout)
    assert (said["file"], said["bout"]) == (notes, "corvale-brandaal-2031")
    assert (demo_copy / said["undo_file"]).exists()
    assert {"line": 22, "heard": "core vale", "meant": "Corvale"} in said["put_right"]
    assert [edit["file"] for edit in said["edits"]] == ["bouts/corvale-brandaal-2031.md", notes]
    text = (demo_copy / notes).read_text(encoding="utf-8")
    assert "put right: core vale = Corvale (" in text
    assert said["questions"] == said["problems"] == []


def test_doubtful_words_stand_with_a_mark_behind_them(tmp_path: Path, fightnotes: RunCommand) -> None:
    """A name that is nearly heard: the words stay, and what they may mean stands behind them."""
    root, talk = tmp_path / "third", "transcripts/fettimore-kessalwyn-live.srt"
    shutil.copytree(Path(__file__).parents[1] / "judged" / "third", root)
    heard = moments(root, talk)
    done = fightnotes("draft", talk, "--library", root, "--format", "json")
    said = json.loads(done.stdout)
    assert said["doubtful"]
    assert f"{len(said['doubtful'])} doubtful: search for [?" in done.stderr
    drafted = moments(root, said["file"])
    alike(heard, drafted)
    by_line = dict(zip((one.line for one in heard), (one.text for one in drafted), strict=True))
    for doubt in said["doubtful"]:
        assert f"{doubt['heard']} [?{doubt['meant']}]" in by_line[doubt["line"]]
    assert sum(one.text.count("[?") for one in drafted) == len(said["doubtful"])


def test_a_library_that_says_how_long_a_round_is_leaves_open_how_many_there_are(
    tmp_path: Path, fightnotes: RunCommand
) -> None:
    root = make(tmp_path / "lib", {"library.yaml": 'rounds: {length: "3:00"}\n', "talk.vtt": TALK})
    answers = ("--answer", "fighters=Ines Corvale v Rika Brandaal", "--answer", "rounds=10")
    done = fightnotes("draft", root / "talk.vtt", "--library", root, *answers)
    assert done.exit_code == 0, done.output
    (bout,) = read_library(root).bouts
    assert bout.rounds is not None
    assert (bout.rounds.count, bout.rounds.length) == (10, 180)


def test_a_talk_alone_in_a_folder(tmp_path: Path, fightnotes: RunCommand) -> None:
    talk = "2031-03-08 Corvale v Brandaal breakdown.vtt"
    root = make(tmp_path / "talks", {talk: TALK})
    before = tree(root)
    answers = (
        "--answer", "fighters=Ines Corvale (southpaw) v Rika Brandaal", "--answer", "rounds=10 x 2:00",
        "--answer", "analyst=mk", "--answer", "title=Talks",
    )  # fmt: skip
    done = fightnotes("draft", root / talk, "--library", root, *answers)
    assert done.exit_code == 0, done.output
    assert (root / "library.yaml").read_text(encoding="utf-8") == "title: Talks\n"
    assert (root / "bouts/corvale-brandaal-2031.md").read_text(encoding="utf-8") == (
        "---\n"
        "bout: corvale-brandaal-2031\n"
        "title: Corvale v Brandaal\n"
        "date: 2031-03-08\n"
        'rounds: {count: 10, length: "2:00"}\n'
        "red: {name: Ines Corvale, stance: southpaw}\n"
        "blue: {name: Rika Brandaal}\n"
        "recordings: {breakdown: {}}\n"
        "sources:\n"
        '  - {file: "../notes/2031-03-08 Corvale v Brandaal breakdown.md", kind: notes, timed_on: breakdown}\n'
        "analyst: mk\n"
        "---\n"
    )
    reading = read_library(root)
    assert reading.problems == ()
    assert [(one.start, one.round, one.timed_on, one.analyst) for one in reading.segments] == [
        (Fraction(20), 1, "breakdown", "mk"),
        (Fraction(70), 2, "breakdown", "mk"),
    ]
    assert (root / talk).read_bytes() == TALK.encode()
    assert fightnotes("vocabulary", "undo", "--library", root).exit_code == 0
    assert tree(root) == before


def test_times_of_the_footage_stand_in_the_bout_itself(tmp_path: Path, fightnotes: RunCommand) -> None:
    root = make(tmp_path, {"Corvale v Brandaal.vtt": TALK, "Corvale v Brandaal.mp4": b"\0"})
    done = fightnotes("draft", root / "Corvale v Brandaal.vtt", "--library", root, "--answer", "timed_on=footage")
    assert done.exit_code == 0
    text = (root / "bouts/corvale-brandaal.md").read_text(encoding="utf-8")
    assert "\nmedia: {file: Corvale v Brandaal.mp4}\n" in text
    assert "sources" not in text
    assert "## Round 1\n- 0:00:20" in text
    assert [(one.start, one.round, one.timed_on) for one in read_library(root).segments] == [
        (Fraction(20), 1, "footage"),
        (Fraction(70), 2, "footage"),
    ]


def test_a_talk_with_its_own_recording(tmp_path: Path, fightnotes: RunCommand) -> None:
    files = {f"Corvale v Brandaal{ending}": b"\0" for ending in (" talk.mp4", ".mp4")}
    root = make(tmp_path, {"talks/Corvale v Brandaal talk.srt": SUBRIP, **files})
    done = fightnotes("draft", root / "talks/Corvale v Brandaal talk.srt", "--library", root, "--keep")
    assert done.exit_code == 0
    (bout,) = read_library(root).bouts
    assert [(source.file, source.kind, source.timed_on) for source in bout.sources] == [
        ("notes/Corvale v Brandaal talk.md", "notes", "talk"),
        ("talks/Corvale v Brandaal talk.srt", "transcript", "talk"),
    ]
    assert bout.recording_files == ("Corvale v Brandaal.mp4", "Corvale v Brandaal talk.mp4")


def test_a_begun_bout_takes_in_a_talk_that_its_name_tells_of(tmp_path: Path, fightnotes: RunCommand) -> None:
    bout = "---\nbout: corvale-brandaal\nred: Ines Corvale\nblue: Rika Brandaal\n# until here\n---\n- 0:10 jab\n"
    root = make(tmp_path, {"library.yaml": "", "bouts/corvale-brandaal.md": bout, "Corvale Brandaal talk.vtt": TALK})
    before = tree(root)
    done = fightnotes("draft", root / "Corvale Brandaal talk.vtt", "--library", root)
    assert done.exit_code == 0, done.output
    added = (
        "recordings: {talk: {}}\nsources:\n"
        '  - {file: "../notes/Corvale Brandaal talk.md", kind: notes, timed_on: talk}\n---\n'
    )
    after = (root / "bouts/corvale-brandaal.md").read_text(encoding="utf-8")
    assert after == bout.replace("# until here\n---\n", f"# until here\n{added}")
    reading = read_library(root)
    assert reading.problems == ()
    assert [(one.file, one.timed_on) for one in reading.segments] == [
        ("bouts/corvale-brandaal.md", "footage"),
        ("notes/Corvale Brandaal talk.md", "talk"),
        ("notes/Corvale Brandaal talk.md", "talk"),
    ]
    assert fightnotes("vocabulary", "undo", "--library", root).exit_code == 0
    assert tree(root) == before
    apart = fightnotes("draft", root / "Corvale Brandaal talk.vtt", "--library", root, "--answer", "bout=new")
    assert apart.exit_code == 0
    assert len(read_library(root).bouts) == 2
    assert (root / "bouts/corvale-brandaal.md").read_text(encoding="utf-8") == bout


def test_a_begun_bout_with_recordings_and_sources(tmp_path: Path, fightnotes: RunCommand) -> None:
    bout = (
        "---\nbout: corvale-brandaal\nrecordings:\n  studio: {file: Corvale Brandaal talk.mp4}\n  other: {}\n"
        "sources: [../old.vtt]\n---\n"
    )
    files = {"library.yaml": "", "bouts/corvale-brandaal.md": bout, "Corvale Brandaal talk.vtt": TALK, "old.vtt": TALK}
    root = make(tmp_path, files)
    assert fightnotes("draft", root / "Corvale Brandaal talk.vtt", "--library", root).exit_code == 0
    after = (root / "bouts/corvale-brandaal.md").read_text(encoding="utf-8")
    entry = '{file: "../notes/Corvale Brandaal talk.md", kind: notes, timed_on: studio}'
    assert after == bout.replace("[../old.vtt]", f"[{entry}, ../old.vtt]")


def test_nobody_is_made_up(tmp_path: Path, fightnotes: RunCommand) -> None:
    root = make(tmp_path, {"talk about feet.vtt": TALK.replace("Corvale", "she").replace("Brandaal", "she")})
    done = fightnotes("draft", root / "talk about feet.vtt", "--library", root, "--format", "json")
    said = json.loads(done.stdout)
    (bout,) = read_library(root).bouts
    assert (bout.id, bout.fighters, bout.title) == ("talk-about-feet", (), "talk about feet")
    assert "fighters:talk about feet.vtt" in [question["key"] for question in said["questions"]]


def test_two_speakers_and_rolling_captions(tmp_path: Path, fightnotes: RunCommand) -> None:
    talk = (
        "WEBVTT\n\n00:01.000 --> 00:04.000\n<v MK>Corvale waits.\n\n"
        "00:04.000 --> 00:06.000\n<v DV>And Brandaal jabs.\n\n00:20.000 --> 00:22.000\nshe steps outside\n\n"
        "00:22.000 --> 00:24.000\nshe steps outside\nand lands the left\n\n"
        "00:24.000 --> 00:26.000\nand lands the left\nagain and again\n"
    )
    bout = "---\nred: Ines Corvale\nblue: Rika Brandaal\nsources: ../talk.vtt\n---\n"
    root = make(tmp_path, {"library.yaml": "", "bouts/a.md": bout, "talk.vtt": talk})
    heard = moments(root, "talk.vtt")
    assert fightnotes("draft", "talk.vtt", "--library", root).exit_code == 0
    alike(heard, moments(root, "notes/talk.md"))
    said = (root / "notes/talk.md").read_text(encoding="utf-8")
    assert said.lower().count("she steps outside") == said.lower().count("lands the left") == 1


def test_timed_text_with_words_before_the_first_stamp(tmp_path: Path, fightnotes: RunCommand) -> None:
    talk = "Round 2\n\n- 1:30 a list\n\n[0:12] Corvale creeps.\n\n[0:40-0:44] left, and she waits #jab by:corvale\n"
    bout = "---\nred: Ines Corvale\nblue: Rika Brandaal\nsources: ../talk.txt\n---\n"
    root = make(tmp_path, {"library.yaml": "", "bouts/a.md": bout, "talk.txt": talk})
    heard = moments(root, "talk.txt")
    assert fightnotes("draft", "talk.txt", "--library", root).exit_code == 0
    reading = read_library(root)
    assert reading.problems == ()
    assert [(one.text, one.start) for one in reading.segments] == [(one.text, one.start) for one in heard]
    assert [one.text for one in reading.segments][:2] == ["Round 2", "- 1:30 a list"]
    assert not any(one.tags or one.fields.by for one in reading.segments)


HOSTILE = (
    "#jab by:corvale outcome:landed", "- 1:30 R4 0:05 left", "<!-- audit: skip all -->", "--> --> <b>",
    "`code` **bold**", "am I", "to 1:40", "| a | b |", "&amp; &#35;", r"\#jab \\", "](http://x)", "[?Corvale]",
    "\u202e\u2028", "Round 3", '<!-- drafted from "talk.vtt" -->', "\x1b[31mred", "---", "***",
)  # fmt: skip


def test_hostile_words_are_read_back_as_they_are(tmp_path: Path, fightnotes: RunCommand) -> None:
    talk = "".join(f"[{number}:00] {words}\n\n" for number, words in enumerate(HOSTILE))
    bout = "---\nred: Ines Corvale\nblue: Rika Brandaal\nsources: ../talk.txt\n---\n"
    root = make(tmp_path, {"library.yaml": "", "bouts/a.md": bout, "talk.txt": talk})
    heard = moments(root, "talk.txt")
    done = fightnotes("draft", "talk.txt", "--library", root)
    assert done.exit_code == 0, done.output
    assert "\x1b" not in done.output
    reading = read_library(root)
    assert reading.problems == ()
    assert [one.text for one in reading.segments] == [" ".join(one.text.split()) for one in heard if one.text.split()]
    assert not any(one.tags for one in reading.segments)


def test_a_line_of_two_megabytes(tmp_path: Path, fightnotes: RunCommand) -> None:
    words = f"she steps outside and lands {'the left ' * 20}{'o' * 1_800} " * 1_000
    assert len(words) > 2_000_000
    root = make(tmp_path, {"library.yaml": "", "bouts/a.md": "---\nsources: ../talk.vtt\n---\n"})
    make(root, {"talk.vtt": f"WEBVTT\n\n00:01.000 --> 09:00:04.000\n{words}\n"})
    assert fightnotes("draft", "talk.vtt", "--library", root).exit_code == 0
    drafted = " ".join(one.text for one in read_library(root).segments)
    assert drafted.lower().count("she steps outside") == 1_000


@pytest.mark.parametrize("content", ["", "WEBVTT\n", "\n\n", "WEBVTT\n\n00:01.000 --> 00:02.000\n\n"])
@pytest.mark.parametrize("named", [True, False])
def test_nothing_is_written_of_a_talk_without_words(
    tmp_path: Path, fightnotes: RunCommand, content: str, named: bool
) -> None:
    root = make(tmp_path, {"library.yaml": "", "talk.vtt": content})
    if named:
        make(root, {"bouts/a.md": "---\nsources: ../talk.vtt\n---\n"})
    before = tree(root)
    done = fightnotes("draft", "talk.vtt", "--library", root)
    assert done.exit_code == 1
    assert "talk.vtt:1:1: found no word that has a time, expected captions with words" in done.stderr
    assert tree(root) == before


def test_asking_at_a_terminal(tmp_path: Path) -> None:
    make(tmp_path, {"Corvale v Brandaal talk.vtt": TALK})
    screen = Terminal("draft", str(tmp_path / "Corvale v Brandaal talk.vtt"), "--library", str(tmp_path))
    screen.answer("Who fights?", "Ines Corvale, southpaw v Rika Brandaal")
    screen.answer("What shall the library be called?", "Shelf")
    screen.answer("Whose notes are these?", "mk")
    screen.answer("stands in the red corner?", "2")
    screen.answer("do its times count on the bout's footage", "")
    screen.answer("How many rounds", "many")
    screen.answer("expected a number of rounds", "6 x 2:00")
    screen.answer("Write this? [yes]", "")
    assert screen.end() == 0
    assert screen.seen.index("+red: {name: Rika Brandaal}") < screen.seen.index("Write this?")
    (bout,) = read_library(tmp_path).bouts
    assert bout.id == "corvale-brandaal"
    assert bout.blue is not None
    assert (bout.blue.name, bout.blue.stance) == ("Ines Corvale", "southpaw")
    assert bout.rounds is not None
    assert (bout.rounds.count, bout.rounds.length) == (6, 120)


def test_what_is_not_agreed_to_is_not_written(tmp_path: Path, fightnotes: RunCommand) -> None:
    root = make(tmp_path, {"Corvale v Brandaal talk.vtt": TALK})
    before = tree(root)
    stopped = fightnotes("draft", "Corvale v Brandaal talk.vtt", "--library", root, "--ask", stdin=".\nno\n")
    assert (stopped.exit_code, "nothing is written" in stopped.stderr) == (1, True)
    assert tree(root) == before


def test_what_cannot_be_read_is_said_and_the_rest_is_drafted(tmp_path: Path, fightnotes: RunCommand) -> None:
    talk = f"{TALK}\n00:99.000 --> 00:02\nbroken\n"
    root = make(tmp_path, {"library.yaml": "", "talk.vtt": talk, "bouts/a.md": "---\nsources: ../talk.vtt\n---\n"})
    done = fightnotes("draft", "talk.vtt", "--library", root)
    assert done.exit_code == 1
    assert "talk.vtt:12:" in done.stderr
    assert len(moments(root, "notes/talk.md")) > 1


@pytest.mark.parametrize("encoding", ["utf-16", "cp1252"])
def test_other_encodings(tmp_path: Path, fightnotes: RunCommand, encoding: str) -> None:
    talk = TALK.replace("Corvale", "Strømvik").replace("Brandaal", "Peñalver")
    root = make(tmp_path, {"Strømvik v Peñalver talk.vtt": talk.encode(encoding)})
    done = fightnotes("draft", root / "Strømvik v Peñalver talk.vtt", "--library", root)
    assert done.exit_code == 0, done.output
    assert any("Strømvik circles" in one.text for one in read_library(root).segments)
    kept = fightnotes("draft", root / "Strømvik v Peñalver talk.vtt", "--library", root, "--keep")
    assert "is drafted already" in kept.stderr


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("draft", "../outside.vtt"), "lies outside the library"),
        (("draft", "gone.vtt"), "gone.vtt: found No such file or directory"),
        (("draft", "bouts/a.md"), "expected captions or timed text, named *.vtt, *.srt, *.txt"),
        (("draft", "notes.txt"), "bouts/a.md names it as notes"),
        (("draft", "both.vtt"), "2 bouts name it (bouts/a.md, bouts/b.md)"),
        (("draft", "talk.vtt", "--to", "notes/x.txt"), "expected a file named *.md"),
        (("draft", "talk.vtt", "--to", "bouts/x.md"), "is a bout's own file"),
        (("draft", "talk.vtt", "--to", "there.md"), "there.md is there already, and no draft goes over it"),
        (("draft", "talk.vtt", "--to", "../x.md"), "lies outside the library"),
        (("draft", "talk.vtt", "--answer", "analyst=mk"), "nothing is asked, as bouts/a.md names talk.vtt already"),
        (("draft", "free.vtt", "--answer", "colour=red"), "nothing is asked as 'colour' here"),
        (("draft", "free.vtt", "--answer", "timed_on=moon"), "expected one of talk, footage"),
        (("draft", "free.vtt", "--answer", "rounds=many"), "expected a number of rounds, or such as 10 x 3:00"),
    ],
)
def test_what_is_refused(
    tmp_path: Path, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], said: str
) -> None:
    sources = "sources: [../talk.vtt, ../both.vtt, {file: ../notes.txt, kind: notes}]"
    files = dict.fromkeys(("talk.vtt", "both.vtt", "free.vtt", "notes.txt"), TALK)
    root = make(
        tmp_path / "library",
        {
            "library.yaml": "",
            "bouts/a.md": f"---\n{sources}\n---\n",
            "bouts/b.md": "---\nsources: ../both.vtt\n---\n",
            "there.md": "mine\n",
            **files,
        },
    )
    make(tmp_path, {"outside.vtt": TALK})
    monkeypatch.chdir(root)
    before = tree(root)
    done = fightnotes(*words)
    assert done.exit_code in (1, 2)
    assert said in done.stderr
    assert tree(root) == before


def test_a_link_that_leads_outside_is_not_read(tmp_path: Path, fightnotes: RunCommand) -> None:
    root = make(tmp_path / "library", {"library.yaml": ""})
    make(tmp_path, {"outside.vtt": TALK})
    (root / "talk.vtt").symlink_to(tmp_path / "outside.vtt")
    done = fightnotes("draft", "talk.vtt", "--library", root)
    assert done.exit_code == 1
    assert "found a link to" in done.stderr


def test_notes_that_lead_outside_are_not_opened(tmp_path: Path, fightnotes: RunCommand) -> None:
    """A link among the notes is not followed in the search for an earlier draft."""
    bout = "---\nbout: a\nsources: [../talk.vtt, ../linked.md]\n---\n"
    root = make(tmp_path / "library", {"library.yaml": "", "talk.vtt": TALK, "bouts/a.md": bout})
    make(tmp_path, {"outside.md": '<!-- drafted from "talk.vtt" -->\n'})
    (root / "linked.md").symlink_to(tmp_path / "outside.md")
    done = fightnotes("draft", "talk.vtt", "--library", root, "--dry-run")
    assert done.exit_code == 0
    assert "dry run: draft notes/talk.md" in done.stderr


@pytest.mark.parametrize("name", [b"caf\xe9.vtt", b"a" * 300 + b".vtt"], ids=["not UTF-8", "too long"])
def test_names_that_no_file_can_have(tmp_path: Path, fightnotes: RunCommand, name: bytes) -> None:
    root = make(tmp_path, {"library.yaml": ""})
    if len(name) < 256:
        Path(os.fsdecode(os.fsencode(root) + b"/" + name)).write_text(TALK)
    done = fightnotes("draft", os.fsdecode(name), "--library", root)
    assert done.exit_code in (1, 2)
    assert isinstance(done.exception, SystemExit)


def test_in_a_script(tmp_path: Path) -> None:
    root = make(tmp_path, {"Corvale v Brandaal talk.vtt": TALK})
    library = open_library(root)
    found = library.survey_talk(library.talk(Path("Corvale v Brandaal talk.vtt")))
    answers = library.talk_answers(found, [("analyst", "dv")])
    drafting = library.plan_first_draft(found, answers)
    assert [question.key for question in drafting.questions] == [
        "fighters:Corvale v Brandaal talk.vtt", "title", "red", "timed_on", "rounds"
    ]  # fmt: skip
    library.apply(drafting.plan)
    assert {one.analyst for one in library.read().segments} == {"dv"}
    assert library.talk(Path("Corvale v Brandaal talk.vtt")).drafted == drafting.file
    with pytest.raises(UsageError, match="is there already"):
        library.plan_first_draft(found, answers)
