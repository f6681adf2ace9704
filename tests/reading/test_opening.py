"""Nothing outside: what front matter, links and odd files lead to is opened only where it may be."""

from __future__ import annotations

import errno
import os
import shutil
import socket
import tempfile
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import Any

import pytest

from fightnotes.cutting import find_media
from fightnotes.errors import FightnotesError, UnreadableFile
from fightnotes.index.changes import find_changes, stamp_of
from fightnotes.index.database import create
from fightnotes.index.records import add_bout
from fightnotes.library import open_library
from fightnotes.model import Vocabulary
from fightnotes.reading.library import bout_files, read_bout, read_configuration, read_library
from fightnotes.reading.opening import LARGEST, allowed_folders, find_footage, read_ordinary
from tests.conftest import MakeLibrary, RunCommand
from tests.cut_samples import a_bout, make_footage

NOBODY = 65534
Unprivileged = Callable[[Path], AbstractContextManager[None]]
SECRET = "a password that stands outside"
NOTE = "---\nbout: {name}\nmedia: {{file: {file}, bells: {{1: 0:10}}}}\nrounds: 3\n---\n- 0:12 she steps in\n"


@pytest.fixture
def library(tmp_path: Path) -> Path:
    (tmp_path / "library/bouts").mkdir(parents=True)
    (tmp_path / "library/films").mkdir()
    (tmp_path / "outside.txt").write_text(SECRET)
    (tmp_path / "archive").mkdir()
    return tmp_path / "library"


def told(root: Path) -> list[str]:
    return [str(problem) for problem in read_library(root).problems]


@pytest.mark.parametrize(
    "file",
    ["../outside.txt", "../../etc/passwd", "/etc/passwd", "media/../../outside.txt", "films/../../library-2/a.mp4"],
)
def test_footage_outside_is_refused_where_it_is_named(library: Path, file: str) -> None:
    (library / "bouts/b.md").write_text(NOTE.format(name="b", file=file))
    expected = "expected a file in the library or in one of its media_roots"
    assert told(library) == [f"bouts/b.md:3:15: found '{file}', which lies outside, {expected}"]
    assert read_library(library).bouts[0].recordings["footage"].file is None


@pytest.mark.parametrize(
    "file",
    [
        "http://example.org/a.mp4", "https://example.org/a.m3u8", "concat:a.mp4|b.mp4", "file:/etc/passwd",
        "subfile,,start,0,end,9,,:a.mp4", "data:video/mp4;base64,AAAA", "pipe:0", "Corvale:final.mp4",
    ],
)  # fmt: skip
def test_an_address_is_no_footage(library: Path, file: str) -> None:
    (library / "bouts/b.md").write_text(NOTE.format(name="b", file=f'"{file}"'))
    (problem,) = told(library)
    assert f"found the address '{file}'" in problem
    with pytest.raises(UnreadableFile, match="address"):
        find_footage(file, allowed_folders(library))


def test_names_that_only_look_odd_are_footage(library: Path) -> None:
    for file in ("./Corvale:final.mp4", "-y.mp4", "Corvale v Brandaal: final.mp4", "4:52.mp4", "%03d.mp4"):
        (library / file).write_bytes(b"\0\0\0\x18ftyp")
        assert find_footage(file, allowed_folders(library)) == (library / file).resolve()


def test_footage_in_a_media_root(library: Path) -> None:
    archive = library.parent / "archive"
    (archive / "a.mp4").write_bytes(b"\0\0\0\x18ftyp")
    for roots in (["../archive"], [str(archive)]):
        folders = allowed_folders(library, roots)
        assert find_footage("a.mp4", folders) == archive.resolve() / "a.mp4"
        assert find_footage(str(archive / "a.mp4"), folders) == archive.resolve() / "a.mp4"
    (library / "library.yaml").write_text("media_roots: [../archive]\n")
    (library / "bouts/b.md").write_text(NOTE.format(name="b", file=archive / "a.mp4"))
    assert told(library) == []


def test_a_link_to_footage_outside(library: Path) -> None:
    archive = library.parent / "archive"
    (archive / "a.mp4").write_bytes(b"\0\0\0\x18ftyp")
    (library / "a.mp4").symlink_to(archive / "a.mp4")
    (library / "films/linked").symlink_to(archive)
    for file in ("a.mp4", "films/linked/a.mp4"):
        with pytest.raises(UnreadableFile, match="which lies outside"):
            find_footage(file, allowed_folders(library))
        assert find_footage(file, allowed_folders(library, ["../archive"])) == (archive / "a.mp4").resolve()
    assert find_footage("gone.mp4", allowed_folders(library)) is None


PLAYLISTS = {
    "m3u8": "#EXTM3U\n#EXT-X-TARGETDURATION:10\n#EXTINF:10,\n/etc/passwd\n#EXT-X-ENDLIST\n",
    "concat": "ffconcat version 1.0\nfile 'real.mp4'\n",
    "mpd": '<?xml version="1.0"?>\n<MPD xmlns="urn:mpeg:dash:schema:mpd:2011"></MPD>\n',
    "sdp": "v=0\no=- 0 0 IN IP4 127.0.0.1\ns=x\nc=IN IP4 127.0.0.1\nm=video 5004 RTP/AVP 96\n",
    "pls": "[playlist]\nFile1=real.mp4\n",
}


@pytest.mark.parametrize("kind", PLAYLISTS)
@pytest.mark.parametrize("ending", ["mp4", "m3u8", "ffconcat"])
def test_a_playlist_is_never_followed(library: Path, kind: str, ending: str) -> None:
    """The forms: RFC 8216 (m3u8), ffmpeg-formats (ffconcat), ISO/IEC 23009-1 (MPD), RFC 8866 (SDP); pls from memory."""
    make_footage(library / "real.mp4", "25", frames=10)
    (library / f"list.{ending}").write_text(PLAYLISTS[kind])
    media, (unreadable,) = find_media([a_bout("b", recording={"file": f"list.{ending}"})], library)
    assert (media, "found text, such as a playlist" in unreadable) == ({}, True)


def test_a_source_that_is_a_link_outside(library: Path) -> None:
    (library / "talk.txt").symlink_to("../outside.txt")
    (library / "bouts/b.md").write_text("---\nsources: ../talk.txt\n---\n- 0:12 she steps in\n")
    reading = read_library(library)
    assert [segment.text for segment in reading.segments] == ["she steps in"]
    assert [(problem.file, problem.line) for problem in reading.problems] == [("talk.txt", 0)]
    (library / "library.yaml").write_text("media_roots: [..]\n")
    assert [segment.text for segment in read_library(library).segments] == ["she steps in", SECRET]


@pytest.mark.parametrize("name", ["bouts/b.md", "library.yaml", "vocabulary.yaml"])
def test_a_file_of_the_library_that_is_a_link_outside(library: Path, name: str) -> None:
    (library / name).symlink_to(library.parent / "outside.txt")
    (problem,) = told(library)
    assert problem.startswith(f"{name}: found a link to ")
    assert SECRET not in problem


def test_a_source_with_a_nul_in_its_name(library: Path) -> None:
    (library / "bouts/b.md").write_text('---\nsources: "../a\\0.txt"\nmedia: "a\\0.mp4"\n---\n- 0:12 she steps in\n')
    assert [problem.split(",")[0] for problem in told(library)] == [
        "bouts/b.md:2:10: found an escape for U+0000",
        "bouts/b.md:3:8: found an escape for U+0000",
        "a\N{REPLACEMENT CHARACTER}.txt: found No such file or directory",
    ]


def test_no_edit_goes_through_a_link_outside(library: Path) -> None:
    outside = library.parent / "vocabulary.yaml"
    outside.write_text("concepts:\n  - {id: jab, label: jab}\n")
    (library / "vocabulary.yaml").symlink_to(outside)
    (library / "library.yaml").write_text("media_roots: [..]\n")
    opened = open_library(library)
    with pytest.raises(FightnotesError, match="stays inside the library"):
        opened.apply(opened.plan_labels("jab", ["lead straight"]))
    assert "straight" not in outside.read_text()


@pytest.mark.parametrize("folder", ["undo", ".fightnotes"])
def test_no_folder_of_ours_leads_outside(library: Path, folder: str, fightnotes: RunCommand) -> None:
    archive = library.parent / "archive"
    (archive / ".mine.part").write_text("mine")
    (archive / "store-1.sqlite").write_text("mine")
    (library / folder).symlink_to(archive)
    added = fightnotes("vocabulary", "add", "jab", "--library", library)
    assert added.exit_code == 1
    assert "this is a link to" in added.stderr
    built = fightnotes("build", "--library", library)
    if folder == ".fightnotes":
        assert (built.exit_code, "nothing is written there" in built.stderr) == (1, True)
    assert sorted(path.name for path in archive.iterdir()) == [".mine.part", "store-1.sqlite"]


def test_a_baseline_stays_inside(library: Path, fightnotes: RunCommand) -> None:
    (library / "library.yaml").write_text("audit: {baseline: ../baseline.json}\n")
    done = fightnotes("audit", "--set-baseline", "--library", library)
    assert (done.exit_code, "stays inside the library" in done.stderr) == (1, True)
    assert not (library.parent / "baseline.json").exists()


def a_socket(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as bound:
        bound.bind(str(path))


ODD: dict[str, tuple[Callable[[Path], object], str]] = {
    "a pipe": (os.mkfifo, "found a pipe"),
    "a folder": (Path.mkdir, "found a folder"),
    "a device without an end": (lambda path: path.symlink_to("/dev/zero"), "found a link to /dev/zero"),
    "a link to itself": (lambda path: path.symlink_to(path), "found Too many levels of symbolic links"),
    "a link to nothing": (lambda path: path.symlink_to("nothing"), "found No such file or directory"),
    "another's memory": (lambda path: path.symlink_to("/proc/self/mem"), "found a link to /proc/"),
    "a huge file": (lambda path: _sparse(path, LARGEST + 1), "found a file of over 256 MB"),
}


def _sparse(path: Path, size: int) -> None:
    with path.open("wb") as file:
        file.truncate(size)


@pytest.mark.parametrize("place", ["bouts/odd.md", "talk.vtt", "vocabulary.yaml", "library.yaml"])
@pytest.mark.parametrize("kind", ODD)
def test_odd_files_are_named_and_the_rest_is_built(
    make_library: MakeLibrary, fightnotes: RunCommand, kind: str, place: str
) -> None:
    root = make_library({"bouts/b.md": "---\nsources: ../talk.vtt\n---\n- 0:12 she steps in\n"})
    (root / "talk.vtt").write_text("WEBVTT\n\n00:01.000 --> 00:02.000\nhe waits\n")
    make, found = ODD[kind]
    (root / place).unlink(missing_ok=True)
    make(root / place)
    first, again = (fightnotes("build", "--library", root) for _ in range(2))
    for built in (first, again):
        assert built.exit_code == 1, built.output
        assert f"{place}: {found}" in built.stderr
        assert "moments: 1" in built.stdout or place in ("vocabulary.yaml", "library.yaml", "bouts/odd.md")
    assert fightnotes("find", "steps in", "--library", root).exit_code == 0


def test_a_socket_is_no_note(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "bouts").mkdir()
    monkeypatch.chdir(tmp_path / "bouts")  # the path of a socket may have 108 bytes
    a_socket(Path("odd.md"))
    assert told(tmp_path) == ["bouts/odd.md: found a socket, expected an ordinary file"]


def test_a_file_that_changes_while_it_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "note.md"
    path.write_text("first\n")
    stat = os.fstat
    writes = [2]

    def written_meanwhile(handle: int) -> os.stat_result:
        status = stat(handle)
        if writes and writes[0] > 0:
            writes[0] -= 1
            with path.open("a") as file:
                file.write("more\n")
        return status

    monkeypatch.setattr(os, "fstat", written_meanwhile)
    assert read_ordinary(path)[0] == b"first\nmore\nmore\n"
    writes[0] = 100
    with pytest.raises(OSError, match="changes while it is read"):
        read_ordinary(path)


@pytest.fixture
def unprivileged() -> Unprivileged:
    """Runs a block as somebody whom the permissions of files hold, which root is not; the folder is made theirs."""

    @contextmanager
    def as_nobody(folder: Path) -> Iterator[None]:
        if os.geteuid() != 0:
            yield
            return
        for path in (folder, *folder.rglob("*")):
            os.chown(path, NOBODY, NOBODY)
        os.setegid(NOBODY)
        os.seteuid(NOBODY)
        try:
            yield
        finally:
            os.seteuid(0)
            os.setegid(0)

    return as_nobody


@pytest.mark.parametrize("closed", ["bouts", "bouts/2030"])
def test_a_folder_that_cannot_be_read_is_not_a_deleted_one(closed: str, unprivileged: Unprivileged) -> None:
    """Read and compared without an encoder, which somebody else's cache may not hold."""
    with tempfile.TemporaryDirectory(dir="/tmp") as folder:
        root = Path(folder)
        root.chmod(0o755)
        for name in ("bouts/a.md", "bouts/2030/b.md", "bouts/2030/c.md"):
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            (root / name).write_text(f"---\nbout: {name[-4]}\n---\n- 0:12 she steps in\n")
        connection = create(root / "store.sqlite")
        known = bout_files(root, allowed_folders(root))
        for file in known.files:
            reading = read_bout(root, file, read_configuration(root))
            add_bout(connection, file, reading, [stamp_of(root, file)], Vocabulary())
        with unprivileged(root):
            (root / closed).chmod(0)
            try:
                now = bout_files(root, allowed_folders(root))
                changes = find_changes(root, now.files, connection, all_again=False, unseen=now.unseen)
            finally:
                (root / closed).chmod(0o755)
        assert (now.unseen, changes.removed, changes.read_again) == ((closed,), (), ())
        assert sorted(changes.unchanged) == sorted(known.files)
        assert [str(problem) for problem in now.problems] == [
            f"{closed}: found Permission denied, expected a folder that can be read"
        ]
        connection.close()


def test_a_folder_that_is_gone_takes_its_bouts_along(make_library: MakeLibrary, fightnotes: RunCommand) -> None:
    root = make_library({"bouts/a.md": "- 0:12 she steps in\n", "bouts/2030/b.md": "- 0:14 he waits\n"})
    fightnotes("build", "--library", root)
    shutil.rmtree(root / "bouts/2030")
    built = fightnotes("build", "--library", root)
    assert (built.exit_code, "gone: bouts/2030/b.md" in built.stdout) == (0, True)


def test_a_build_keeps_what_it_cannot_see(
    make_library: MakeLibrary, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = make_library({"bouts/a.md": "- 0:12 she steps in\n", "bouts/2030/b.md": "- 0:14 he waits\n"})
    fightnotes("build", "--library", root)
    scandir = os.scandir

    def denied(path: str) -> Any:
        if str(path).endswith("2030"):
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return scandir(path)

    monkeypatch.setattr(os, "scandir", denied)
    built = fightnotes("build", "--library", root)
    assert (built.exit_code, "gone" in built.stdout, "moments: 2" in built.stdout) == (1, False, True)
    assert "bouts/2030: found Permission denied, expected a folder that can be read" in built.stderr
    monkeypatch.undo()
    assert "he waits" in fightnotes("find", "waits", "--library", root).stdout
    assert fightnotes("build", "--library", root).exit_code == 0


def test_a_name_that_is_not_utf8(make_library: MakeLibrary, fightnotes: RunCommand) -> None:
    root = make_library({"bouts/a.md": "- 0:12 she steps in\n"})
    os.mkdir(os.fsencode(root / "bouts") + b"/f\xe9")
    for name in (b"/caf\xe9.md", b"/f\xe9/b.md"):
        Path(os.fsdecode(os.fsencode(root / "bouts") + name)).write_text("- 0:14 he waits\n")
    for command in ("build", "audit"):
        done = fightnotes(command, "--library", root)
        assert done.exit_code == 1, done.output
    built = fightnotes("build", "--library", root)
    assert built.stderr.count("found a file name that is not UTF-8") == 2
    assert "moments: 1" in built.stdout
