"""Whole libraries: what is there, what is missing, and what cannot be read."""

from __future__ import annotations

import os
import time
from collections.abc import Mapping
from pathlib import Path

import pytest

from fightnotes.errors import LibraryNotFound, Problem
from fightnotes.reading.library import BoutFiles, LibraryReading, bout_files, find_root, read_library
from fightnotes.reading.opening import allowed_folders

NOTE = "---\nbout: b\nred: {name: Ines Corvale}\nblue: {name: Rika Brandaal}\n---\n- 4:41 he waits #jab by:corvale\n"


def read(root: Path, files: Mapping[str, str | bytes]) -> LibraryReading:
    for name, content in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return read_library(root)


def told(reading: LibraryReading) -> list[str]:
    return [str(problem) for problem in reading.problems]


def files_in(root: Path) -> list[str]:
    return list(bout_files(root, allowed_folders(root)).files)


def test_no_files(tmp_path: Path) -> None:
    reading = read(tmp_path, {})
    assert (reading.bouts, reading.segments, reading.problems) == ((), (), ())


def test_one_file(tmp_path: Path) -> None:
    reading = read(tmp_path, {"bouts/b.md": NOTE})
    assert [bout.id for bout in reading.bouts] == ["b"]
    (segment,) = reading.segments
    assert (segment.file, segment.line, segment.text) == ("bouts/b.md", 6, "he waits")
    assert (segment.tags[0].concept, segment.tags[0].line, segment.tags[0].column) == (None, 6, 17)
    assert told(reading) == []


def test_an_empty_file_and_one_without_front_matter(tmp_path: Path) -> None:
    reading = read(tmp_path, {"bouts/empty.md": "", "bouts/plain.md": "4:41 he waits"})
    assert [(bout.id, bout.title) for bout in reading.bouts] == [("empty", "empty"), ("plain", "plain")]
    assert [segment.text for segment in reading.segments] == ["he waits"]
    assert told(reading) == []


def test_the_headings_above_a_note(tmp_path: Path) -> None:
    note = "# A *v* B\n## Round 2 #jab\n### Late\nx\n## Round 3\ny\n\nMain\n====\nz\n"
    reading = read(tmp_path, {"bouts/b.md": note})
    assert [segment.heading for segment in reading.segments] == [
        ("A v B", "Round 2 #jab", "Late"),
        ("A v B", "Round 3"),
        ("Main",),
    ]


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_line_endings_and_byte_order_mark(ending: str, mark: bytes, tmp_path: Path) -> None:
    note = NOTE + "- 4:44\the goes by:nobody\n\n  and goes #body-hook\n"
    reading = read(tmp_path, {"bouts/b.md": mark + note.replace("\n", ending).encode()})
    assert [(segment.line, segment.last_line, segment.text) for segment in reading.segments] == [
        (6, 6, "he waits"),
        (7, 9, "he goes by:nobody\nand goes"),
    ]
    assert [(tag.line, tag.column) for segment in reading.segments for tag in segment.tags] == [(6, 17), (9, 12)]
    assert told(reading) == ["bouts/b.md:7:16: found 'by:nobody', expected one of corvale, brandaal"]


def test_bytes_that_are_no_utf8(tmp_path: Path) -> None:
    raw = b"\xef\xbb\xbf---\rbout: b\r---\r- 4:41 caf\xe9 waits\r- 4:44 he goes\r"
    reading = read(tmp_path, {"bouts/b.md": raw})
    assert [segment.text for segment in reading.segments] == ["caf\N{REPLACEMENT CHARACTER} waits", "he goes"]
    assert told(reading) == ["bouts/b.md:4:11: found byte 0xe9, expected UTF-8"]


def test_utf16(tmp_path: Path) -> None:
    reading = read(tmp_path, {"bouts/a.md": NOTE.encode("utf-16"), "bouts/b.md": NOTE})
    assert [bout.file for bout in reading.bouts] == ["bouts/b.md"]
    assert told(reading) == ["bouts/a.md:1:1: found UTF-16, expected UTF-8"]


def test_nul_in_a_note(tmp_path: Path) -> None:
    reading = read(tmp_path, {"bouts/b.md": NOTE + "- 4:44 \0he\0 #jab\n"})
    assert reading.segments[1].text == "\N{REPLACEMENT CHARACTER}he\N{REPLACEMENT CHARACTER}"
    assert reading.segments[1].tags[0].column == 13


def test_names_and_tags_in_other_scripts(tmp_path: Path) -> None:
    front_matter = "---\nred: {name: 風堀 澪}\nblue: {name: Руслан Джамырбек}\n---\n"
    note = front_matter + "4:41 フェイント #フェイント by:澪 on:ДЖАМЫРБЕК\n"
    reading = read(tmp_path, {"bouts/b.md": note, "vocabulary.yaml": "concepts: [{id: feint, label: フェイント}]"})
    (segment,) = reading.segments
    assert segment.tags[0].concept == "feint"
    assert (segment.fields.by, segment.fields.on) == (("澪",), ("джамырбек",))
    assert told(reading) == []


def test_a_folder_named_as_a_note_is_no_note(tmp_path: Path) -> None:
    (tmp_path / "bouts/a.md").mkdir(parents=True)
    reading = read(tmp_path, {"bouts/b.md": NOTE})
    assert [bout.id for bout in reading.bouts] == ["b"]
    assert told(reading) == ["bouts/a.md: found a folder, expected an ordinary file"]


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    (tmp_path / "bouts").mkdir()
    os.mkfifo(tmp_path / "bouts/a.md")
    assert told(read(tmp_path, {})) == ["bouts/a.md: found a pipe, expected an ordinary file"]


@pytest.mark.skipif(os.geteuid() == 0, reason="root reads any file")
def test_a_file_without_permission(tmp_path: Path) -> None:
    read(tmp_path, {"bouts/a.md": NOTE})
    (tmp_path / "bouts/a.md").chmod(0)
    (problem,) = read_library(tmp_path).problems
    assert (problem.file, problem.line) == ("bouts/a.md", 0)


def test_links_that_loop(tmp_path: Path) -> None:
    bouts = tmp_path / "bouts"
    read(tmp_path, {"bouts/2031/b.md": NOTE, "second/look.md": "4:41 he waits"})
    (bouts / "around").symlink_to(bouts)
    (bouts / "above").symlink_to(tmp_path)
    (bouts / "self").symlink_to(bouts / "self")
    (bouts / "one.md").symlink_to(bouts / "two.md")
    (bouts / "two.md").symlink_to(bouts / "one.md")
    (bouts / "gone.md").symlink_to(bouts / "nowhere.md")
    assert files_in(tmp_path) == ["bouts/2031/b.md", "bouts/gone.md", "bouts/one.md", "bouts/two.md"]
    reading = read_library(tmp_path)
    assert [bout.id for bout in reading.bouts] == ["b"]
    assert [(problem.file, problem.line) for problem in reading.problems] == [
        ("bouts/gone.md", 0),
        ("bouts/one.md", 0),
        ("bouts/two.md", 0),
    ]


def test_a_linked_folder_elsewhere_is_walked_once(tmp_path: Path) -> None:
    (tmp_path / "library/bouts").mkdir(parents=True)
    read(tmp_path, {"archive/b.md": NOTE})
    (tmp_path / "library/bouts/a").symlink_to(tmp_path / "archive")
    (tmp_path / "library/bouts/b").symlink_to(tmp_path / "archive")
    library = tmp_path / "library"
    assert bout_files(library, allowed_folders(library, ["../archive"])) == BoutFiles(("bouts/a/b.md",), (), ())
    found = f"a link to {tmp_path.resolve() / 'archive'}"
    not_named = Problem("bouts/a", 0, 0, found, "a file in the library or in one of its media_roots")
    assert bout_files(library, allowed_folders(library)) == BoutFiles((), (), (not_named,))


def test_dot_files_are_left_out(tmp_path: Path) -> None:
    read(tmp_path, {"bouts/.b.md": NOTE, "bouts/.trash/b.md": NOTE, "bouts/b.MD": NOTE})
    assert files_in(tmp_path) == ["bouts/b.MD"]


def test_two_bouts_with_one_id(tmp_path: Path) -> None:
    reading = read(tmp_path, {"bouts/a.md": NOTE, "bouts/c.md": NOTE})
    assert [bout.file for bout in reading.bouts] == ["bouts/a.md"]
    assert {segment.file for segment in reading.segments} == {"bouts/a.md"}
    assert told(reading) == [
        "bouts/c.md:2:7: found bout id 'b', which bouts/a.md has already, expected an id of its own"
    ]


def test_sources(tmp_path: Path) -> None:
    sources = "[../t/a.vtt, {file: ../t/b.srt}, ../t/c.txt, ../t/gone.vtt, ../t/d.doc, ../n/e.md]"
    note = NOTE.replace("---\n- ", f"sources: {sources}\n---\n- ")
    reading = read(
        tmp_path,
        {
            "bouts/b.md": note,
            "t/a.vtt": "WEBVTT\n\n00:10.000 --> 00:12.500\nhe waits and\n\n00:12.500 --> 00:14.000\nhe goes\n",
            "t/b.srt": "1\n00:00:20,000 --> 00:00:22,000\nhe falls\n",
            "t/c.txt": "He was slow.\n\n[1:05] he gets up\n",
            "t/d.doc": "x",
            "n/e.md": "- 4:42 he waited by:corvale\n",
        },
    )
    assert [(s.file, s.line, s.kind, s.written_time, s.text) for s in reading.segments[1:]] == [
        ("t/a.vtt", 4, "transcript", "0:10", "He waits and he goes."),
        ("t/b.srt", 3, "transcript", "0:20", "He falls."),
        ("t/c.txt", 1, "transcript", None, "He was slow."),
        ("t/c.txt", 3, "transcript", "1:05", "He gets up."),
        ("n/e.md", 1, "note", "4:42", "he waited"),
    ]
    assert [(problem.file, problem.line) for problem in reading.problems] == [("t/gone.vtt", 0), ("t/d.doc", 1)]


def test_a_source_outside_the_library_is_not_read(tmp_path: Path) -> None:
    read(tmp_path, {"outside.txt": "[0:10] private"})
    note = "---\nbout: b\nsources:\n  - ../../outside.txt\n---\n"
    reading = read(tmp_path / "library", {"bouts/b.md": note})
    assert reading.segments == ()
    assert [(problem.line, problem.column) for problem in reading.problems] == [(4, 5)]


def test_a_broken_library_file_leaves_its_defaults(tmp_path: Path) -> None:
    reading = read(tmp_path, {"library.yaml": "title: [", "vocabulary.yaml": b"\xff\xfe", "bouts/b.md": NOTE})
    assert [problem.file for problem in reading.problems] == ["library.yaml", "vocabulary.yaml"]
    assert len(reading.segments) == 1


def test_the_library_is_found_from_a_folder_inside(tmp_path: Path) -> None:
    read(tmp_path, {"library.yaml": "", "bouts/2031/b.md": NOTE})
    assert find_root(tmp_path / "bouts/2031") == tmp_path.resolve()
    (tmp_path / "library.yaml").unlink()
    with pytest.raises(LibraryNotFound):
        find_root(tmp_path)


HUGE = {
    "backticks": "`",
    "backticks of many lengths": " ".join("`" * length for length in range(1, 200)),
    "brackets": "[",
    "images": "![",
    "links": "[a](",
    "tags": "#jab ",
    "tags with open parentheses": "#jab(",
    "tags in a sentence": "he #jab goes ",
    "escapes": "\\# #jab ",
    "fields": "by:corvale ",
    "emphasis": "*a _b ",
    "angle brackets": "<a",
    "entities": "&",
    "spaces": " " * 1000 + "#jab",
    "digits": "1:",
    "quotes": ">",
}


@pytest.mark.parametrize("piece", HUGE.values(), ids=HUGE)
def test_a_huge_line_takes_time_in_proportion(piece: str, tmp_path: Path) -> None:
    def seconds(length: int) -> float:
        """Processor time to read a line of so many characters, the best of two."""
        line = piece * (length // len(piece))
        taken = []
        for _ in range(2):
            begun = time.process_time()
            reading = read(tmp_path, {"bouts/b.md": f"{NOTE}\n4:50 {line}\n\n4:55 last\n"})
            taken.append(time.process_time() - begun)
            assert reading.segments[-1].text == "last"
        return min(taken)

    # Four times the length: steps that grow with its square would take sixteen times as long.
    assert seconds(60_000) < 9 * seconds(15_000)
