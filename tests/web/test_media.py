"""Recordings as a browser fetches them, against RFC 9110: 14 (range requests), 13.1.5 (If-Range), 15.3.7 (206), 15.5.17
(416). Its words are quoted from memory."""

from __future__ import annotations

import os
from collections.abc import Iterator
from email.message import Message
from email.parser import BytesParser
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from starlette.testclient import TestClient

from fightnotes.web.app import make_app
from fightnotes.web.kept import KeptLibrary
from fightnotes.web.ranges import ranges_meant
from tests.web.conftest import ADDRESS

CLIP = bytes(range(256)) * 4
SIZE = len(CLIP)
FOOTAGE = "/media?bout=b&recording=footage"


HOSTILE = (
    "../secret.mp4", "/etc/passwd", "link.mp4", "http://127.0.0.1/clip.mp4", "file:clip.mp4", "list.m3u8", "media",
    "concat:clip.mp4|clip.mp4", "pipe.mp4",
)  # fmt: skip
NAMED = {
    "b": "clip.mp4", "gone": "gone.mp4", "disk": "on-disk.mp4", "upper": "a.MOV", "sound": "a.mp3",
    **{f"hostile-{number}": file for number, file in enumerate(HOSTILE)},
    **{ending: f"a.{ending}" for ending in ("html", "js", "svg", "xhtml", "pdf", "css", "none")},
}  # fmt: skip
"""The footage of each bout."""


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Iterator[TestClient]:
    folder = tmp_path_factory.mktemp("media")
    root = folder / "library"
    for name in ("bouts", "media", "../disk"):
        (root / name).mkdir(parents=True)
    (root / "library.yaml").write_text(f"model: {small_model}\nmedia_roots: [../disk]\n")
    for bout, file in NAMED.items():
        (root / f"bouts/{bout}.md").write_text(f"---\nbout: {bout}\nmedia: {{file: '{file}'}}\n---\n- 0:05 Jab.\n")
        if bout not in ("b", "gone", "disk") and not bout.startswith("hostile"):
            (root / file).write_bytes(b"\0/*\0*/ alert(1)")
    (root / "clip.mp4").write_bytes(CLIP)
    (root / "../disk/on-disk.mp4").write_bytes(CLIP)
    (root / "list.m3u8").write_text("#EXTM3U\nhttp://127.0.0.1/a.ts\n")
    (folder / "secret.mp4").write_bytes(b"\0the secret")
    (root / "link.mp4").symlink_to(folder / "secret.mp4")
    os.mkfifo(root / "pipe.mp4")
    with TestClient(make_app(KeptLibrary(root)), base_url=ADDRESS) as client:
        yield client


def parts_of(content_type: str, body: bytes) -> list[Message]:
    """The parts of a multipart body, read by the standard library's parser of mail (RFC 2046)."""
    whole = BytesParser().parsebytes(f"Content-Type: {content_type}\r\n\r\n".encode() + body)
    parts = whole.get_payload()
    assert isinstance(parts, list)
    return [part for part in parts if isinstance(part, Message)]


def test_the_whole_file(client: TestClient) -> None:
    answer = client.get(FOOTAGE)
    assert (answer.status_code, answer.content) == (200, CLIP)
    assert answer.headers["accept-ranges"] == "bytes"
    assert answer.headers["content-type"] == "video/mp4"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert "content-range" not in answer.headers


@pytest.mark.parametrize(
    ("asked", "first", "last"),
    [
        ("bytes=0-99", 0, 99),
        ("bytes=1000-", 1000, 1023),
        ("bytes=0-0", 0, 0),
        ("bytes=-24", 1000, 1023),
        ("bytes=-5000", 0, 1023),
        ("bytes=1000-5000", 1000, 1023),
        ("BYTES=0-99", 0, 99),
        ("bytes=,, 0-99 ,", 0, 99),
        ("bytes=5000-6000, 0-99", 0, 99),
        ("bytes=0-99,50-149", 0, 149),
    ],
)
def test_one_range(client: TestClient, asked: str, first: int, last: int) -> None:
    answer = client.get(FOOTAGE, headers={"range": asked})
    assert answer.status_code == 206
    assert answer.headers["content-range"] == f"bytes {first}-{last}/{SIZE}"
    assert answer.headers["content-length"] == str(last - first + 1)
    assert answer.headers["content-type"] == "video/mp4"
    assert answer.headers["etag"] == client.get(FOOTAGE).headers["etag"], "15.3.7: as in the answer with 200"
    assert answer.content == CLIP[first : last + 1]


def test_several_ranges(client: TestClient) -> None:
    answer = client.get(FOOTAGE, headers={"range": "bytes=0-9,500-509,-10"})
    assert answer.status_code == 206
    assert answer.headers["content-type"].startswith("multipart/byteranges; boundary=")
    assert "content-range" not in answer.headers, "15.3.7.2: it stands in each part alone"
    assert answer.headers["content-length"] == str(len(answer.content))
    parts = parts_of(answer.headers["content-type"], answer.content)
    assert [part["content-range"] for part in parts] == [
        f"bytes {first}-{first + 9}/{SIZE}" for first in (0, 500, 1014)
    ]
    assert {part["content-type"] for part in parts} == {"video/mp4"}
    assert [part.get_payload(decode=True) for part in parts] == [CLIP[0:10], CLIP[500:510], CLIP[1014:]]


@pytest.mark.parametrize("asked", [f"bytes={SIZE}-", "bytes=5000-6000,9000-", "bytes=-0"])
def test_ranges_that_lie_outside(client: TestClient, asked: str) -> None:
    answer = client.get(FOOTAGE, headers={"range": asked})
    assert (answer.status_code, answer.headers["content-range"]) == (416, f"bytes */{SIZE}")


@pytest.mark.parametrize(
    "asked",
    ["frames=0-9", "bytes=", "bytes=-", "bytes=9-5", "bytes=a-b", "bytes=--5", "bytes=0-9,x", "bytes 0-9", "bytes=+1-9",
     "bytes=0x1-9", "bytes=1_0-99", "bytes=٣-٩", "bytes=" + "9" * 30 + "-"],
)  # fmt: skip
def test_what_is_no_range_of_bytes_is_ignored(client: TestClient, asked: str) -> None:
    answer = client.get(FOOTAGE, headers={"range": asked.encode()})
    assert (answer.status_code, answer.content) == (200, CLIP)


def test_head_has_no_ranges(client: TestClient) -> None:
    """14.2: a range with a method for which none are defined must be ignored, and GET alone has them."""
    answer = client.head(FOOTAGE, headers={"range": "bytes=0-9"})
    assert (answer.status_code, answer.content) == (200, b"")
    assert answer.headers["content-length"] == str(SIZE)
    assert answer.headers["accept-ranges"] == "bytes"


def test_if_range(client: TestClient) -> None:
    whole = client.get(FOOTAGE).headers
    for validator, status in (
        (whole["etag"], 206),
        (whole["last-modified"], 206),
        ('"another"', 200),
        (f"W/{whole['etag']}", 200),
        ("Thu, 01 Jan 1970 00:00:00 GMT", 200),
    ):
        answer = client.get(FOOTAGE, headers={"range": "bytes=0-9", "if-range": validator})
        assert answer.status_code == status, validator


@given(st.lists(st.tuples(st.integers(0, 300), st.none() | st.integers(0, 300)), min_size=1, max_size=5))
def test_ranges_kept_are_those_that_begin_in_the_file(ranges: list[tuple[int, int | None]]) -> None:
    asked = ",".join(f"{first}-{'' if last is None else last}" for first, last in ranges)
    meant = ranges_meant(f"bytes={asked}", 100)
    inside = [one for one, (first, _) in zip(asked.split(","), ranges, strict=True) if first < 100]
    if any(last is not None and last < first for first, last in ranges):
        assert meant is None
    else:
        assert meant == "bytes=" + (",".join(inside) or "100-")


@pytest.mark.parametrize("number", range(len(HOSTILE)), ids=HOSTILE.__getitem__)
def test_hostile_names_are_refused_with_a_word(client: TestClient, number: int) -> None:
    answer = client.get(f"/media?bout=hostile-{number}&recording=footage")
    assert answer.status_code in (403, 404)
    assert 'role="alert"' in answer.text
    assert "the secret" not in answer.text
    moment = client.get(f"/moment?at=bouts/hostile-{number}.md:5")
    assert moment.status_code == 200
    assert "It cannot be played here" in moment.text
    assert "<video" not in moment.text


@pytest.mark.parametrize(
    "query",
    ["bout=b&recording=../../etc/passwd", "bout=b&recording=clip.mp4", "bout=../b&recording=footage",
     "recording=footage", "bout=b&file=clip.mp4"],
)  # fmt: skip
def test_the_address_names_no_file(client: TestClient, query: str) -> None:
    answer = client.get(f"/media?{query}")
    assert answer.status_code == 400
    assert "the library knows no" in answer.text


def test_a_recording_that_is_not_there(client: TestClient) -> None:
    answer = client.get("/media?bout=gone&recording=footage")
    assert answer.status_code == 404
    assert "not at hand: gone.mp4" in answer.text


@pytest.mark.parametrize("bout", ["html", "js", "svg", "xhtml", "pdf", "css", "none"])
def test_nothing_is_served_as_what_a_browser_would_run(client: TestClient, bout: str) -> None:
    """A bout may name any file; as a script of this page's origin it could do all that the page may."""
    answer = client.get(f"/media?bout={bout}&recording=footage")
    assert (answer.status_code, answer.headers["content-type"]) == (200, "application/octet-stream")


@pytest.mark.parametrize(("bout", "media_type"), [("upper", "video/quicktime"), ("sound", "audio/mpeg")])
def test_the_type_is_told_by_the_ending(client: TestClient, bout: str, media_type: str) -> None:
    assert client.get(f"/media?bout={bout}&recording=footage").headers["content-type"] == media_type


def test_sound_has_a_player_of_its_own(client: TestClient) -> None:
    assert "<audio" in client.get("/moment?at=bouts/sound.md:5").text


def test_a_media_root_serves_too(client: TestClient) -> None:
    assert client.get("/media?bout=disk&recording=footage").content == CLIP
