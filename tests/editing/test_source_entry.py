"""A bout's entry of a transcript becomes one of notes, however it is written, and every other byte stays."""

from __future__ import annotations

from pathlib import Path

import pytest

from fightnotes.editing.line_edit import edited
from fightnotes.editing.source_entry import source_edits
from fightnotes.errors import UnreadableFile
from fightnotes.model import Settings
from fightnotes.reading.library import read_library

RECORDINGS = "recordings: {breakdown: {rate: 25}}\n"
NEW = "notes/talk.md"


def changed(root: Path, sources: str, keep: bool = False, newline: str = "\n", mark: str = "") -> str:
    """What becomes of the lines of `sources`; all that stands around them is the same."""
    above, below = f"{mark}---\nbout: one\n{RECORDINGS}", "analyst: mk  # me\n---\n- 0:10 jab\n"
    text = f"{above}{sources}{below}".replace("\n", newline)
    (root / "bouts").mkdir()
    (root / "transcripts").mkdir()
    (root / "transcripts" / "talk.vtt").write_bytes(b"WEBVTT\n")
    (root / "bouts" / "one.md").write_bytes(text.encode())
    (bout,) = read_library(root).bouts
    (old,) = (source for source in bout.sources if source.file == "transcripts/talk.vtt")
    new = old.model_copy(update={"file": NEW, "kind": "notes"})
    edits = source_edits(bout, text, old, new, Settings(), [root.resolve()], keep)
    after = edited(bout.file, text, edits)
    assert after.startswith(above.replace("\n", newline))
    assert after.endswith(below.replace("\n", newline))
    return after[len(above.replace("\n", newline)) : -len(below.replace("\n", newline))].replace(newline, "\n")


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("sources: ../transcripts/talk.vtt\n", "sources: ../notes/talk.md\n"),
        ("sources:   '../transcripts/talk.vtt'   # the talk\n", 'sources:   "../notes/talk.md"   # the talk\n'),
        ("sources: [../transcripts/talk.vtt]\n", "sources: [../notes/talk.md]\n"),
        ("sources: [a.md, ../transcripts/talk.vtt, b.vtt]\n", "sources: [a.md, ../notes/talk.md, b.vtt]\n"),
        ("sources:\n  - ../transcripts/talk.vtt\n  - b.vtt\n", "sources:\n  - ../notes/talk.md\n  - b.vtt\n"),
        (
            "sources:\n- {file: ../transcripts/talk.vtt, kind: transcript, analyst: mk, timed_on: breakdown}  # x\n",
            "sources:\n- {file: ../notes/talk.md, kind: notes, analyst: mk, timed_on: breakdown}  # x\n",
        ),
        (
            'sources:\n  - {timed_on: breakdown,  "file": "../transcripts/talk.vtt"}\n',
            'sources:\n  - {timed_on: breakdown,  "file": "../notes/talk.md"}\n',
        ),
        (
            "sources:\n  - kind: transcript # spoken\n    file: ../transcripts/../transcripts/talk.vtt\n"
            "    timed_on: breakdown\n  - a.md\n",
            "sources:\n  - kind: notes # spoken\n    file: ../notes/talk.md\n    timed_on: breakdown\n  - a.md\n",
        ),
    ],
)
@pytest.mark.parametrize(("newline", "mark"), [("\n", ""), ("\r\n", "\ufeff")], ids=["LF", "CRLF and BOM"])
def test_in_its_place(tmp_path: Path, before: str, after: str, newline: str, mark: str) -> None:
    assert changed(tmp_path, before, newline=newline, mark=mark) == after


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (
            "sources: ../transcripts/talk.vtt\n",
            "sources: [{file: ../notes/talk.md, kind: notes}, ../transcripts/talk.vtt]\n",
        ),
        (
            "sources: [a.md, ../transcripts/talk.vtt]\n",
            "sources: [a.md, {file: ../notes/talk.md, kind: notes}, ../transcripts/talk.vtt]\n",
        ),
        (
            "sources:\n  - a.md\n  - {file: ../transcripts/talk.vtt, timed_on: breakdown, analyst: d v}\n",
            'sources:\n  - a.md\n  - {file: ../notes/talk.md, kind: notes, analyst: "d v", timed_on: breakdown}\n'
            "  - {file: ../transcripts/talk.vtt, timed_on: breakdown, analyst: d v}\n",
        ),
        (
            "sources:\n  -   file: ../transcripts/talk.vtt\n      timed_on: breakdown\n",
            "sources:\n  -   {file: ../notes/talk.md, kind: notes, timed_on: breakdown}\n"
            "  -   file: ../transcripts/talk.vtt\n      timed_on: breakdown\n",
        ),
    ],
)
@pytest.mark.parametrize("newline", ["\n", "\r\n"], ids=["LF", "CRLF"])
def test_beside_it(tmp_path: Path, before: str, after: str, newline: str) -> None:
    assert changed(tmp_path, before, keep=True, newline=newline) == after


@pytest.mark.parametrize(
    "sources",
    [
        "sources:\n  - {file: &talk ../transcripts/talk.vtt}\n",
        "sources:\n  - file: >-\n      ../transcripts/talk.vtt\n",
        "sources:\n  - ../transcripts/talk.vtt\n  - ../notes/talk.md\n",
    ],
    ids=["an anchor", "a folded text", "named already"],
)
def test_what_cannot_be_edited_in_place_is_refused_with_the_line_to_write(tmp_path: Path, sources: str) -> None:
    with pytest.raises(UnreadableFile, match=r"bouts/one.md:5:.*by hand: \{file: ../notes/talk.md, kind: notes\}"):
        changed(tmp_path, sources)
