"""Accepted tags as they come to stand in the notes."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fightnotes.editing.taking import Notes, plan_taking
from fightnotes.errors import UnknownName, UnreadableFile, UsageError
from fightnotes.library import Library, open_library
from fightnotes.model import ACT_KEYS, Segment
from fightnotes.reading.library import read_library
from tests.line_edits import apply_edits

MakeLibrary = Callable[[Mapping[str, str]], Path]
VOCABULARY = """concepts:
  - {id: jab, label: jab, also: [lead straight]}
  - {id: pivot, label: pivot}
"""
FRONT = "---\nbout: one\nred: {name: Ines Corvale}\nblue: {name: Rika Brandaal}\nsources: [{file: ../talk.vtt}]\n---\n"
TALK = "WEBVTT\n\n00:01.000 --> 00:02.000\na jab there\n"


def _library(make_library: MakeLibrary, notes: str) -> Library:
    root = make_library({"vocabulary.yaml": VOCABULARY, "bouts/one.md": FRONT + notes, "talk.vtt": TALK})
    library = open_library(root)
    library.build()
    return library


def _segments(library: Library, kind: str = "note") -> list[Segment]:
    return [segment for segment in library.store.every_segment().values() if segment.kind == kind]


def _notes(library: Library) -> str:
    return (library.root / "bouts" / "one.md").read_bytes().decode().removeprefix(FRONT)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        pytest.param("- 0:10 Left hand.\n", "- 0:10 Left hand. #jab\n", id="bare"),
        pytest.param("- 0:10 Left hand.", "- 0:10 Left hand. #jab", id="no last line ending"),
        pytest.param(
            "- 0:10 Left hand. by:corvale\r\n",
            "- 0:10 Left hand. #jab by:corvale\r\n",
            id="before the fields",
        ),
        pytest.param(
            "- 0:10 Left. #pivot(by:corvale outcome:landed) by:brandaal\n",
            "- 0:10 Left. #pivot(by:corvale outcome:landed) #jab by:brandaal\n",
            id="behind the tags",
        ),
        pytest.param("- 0:10 Left  \n  hand. on:corvale\n", "- 0:10 Left  \n  hand. #jab on:corvale\n", id="last line"),
        pytest.param(
            "- 0:10 Left.\n  - no time here #pivot\n",
            "- 0:10 Left. #jab\n  - no time here #pivot\n",
            id="first block",
        ),
        pytest.param("- 0:10  \n", "- 0:10 #jab  \n", id="a time alone"),
        pytest.param("0:10 Left hand\n\nand more\n", "0:10 Left hand #jab\n\nand more\n", id="a paragraph"),
        pytest.param("- 0:10 Left `#pivot`\n", "- 0:10 Left `#pivot` #jab\n", id="behind a code span"),
        pytest.param("- 0:10 A #pivot away.\n", "- 0:10 A #pivot away. #jab\n", id="a tag in the sentence"),
    ],
)
def test_where_a_tag_goes(make_library: MakeLibrary, before: str, after: str) -> None:
    library = _library(make_library, before)
    first = _segments(library)[0]
    library.apply(library.plan_marks([(first, "lead straight")]))
    assert _notes(library) == after


@pytest.mark.parametrize(
    ("before", "after"),
    [
        pytest.param("- 0:10 Left hand.\n", "- 0:10 Left hand. by:corvale outcome:landed\n", id="bare"),
        pytest.param("- 0:10 Left.\r\n", "- 0:10 Left. by:corvale outcome:landed\r\n", id="another line ending"),
        pytest.param("- 0:10 #jab left", "- 0:10 #jab left by:corvale outcome:landed", id="no last line ending"),
        pytest.param(
            "- 0:10 Left. #jab on:brandaal\n",
            "- 0:10 Left. #jab on:brandaal by:corvale outcome:landed\n",
            id="behind the fields",
        ),
        pytest.param("- 0:10 Left. by:brandaal\n", "- 0:10 Left. by:brandaal outcome:landed\n", id="one that it has"),
        pytest.param(
            "- 0:10 Left. #jab(by:brandaal)\n", "- 0:10 Left. #jab(by:brandaal) outcome:landed\n", id="one of a tag"
        ),
        pytest.param(
            "- 0:10 Left.\n  - no time here on:brandaal\n",
            "- 0:10 Left. by:corvale outcome:landed\n  - no time here on:brandaal\n",
            id="first block",
        ),
        pytest.param("- 0:10  \n", "- 0:10 by:corvale outcome:landed  \n", id="a time alone"),
    ],
)
def test_where_a_field_goes(make_library: MakeLibrary, before: str, after: str) -> None:
    library = _library(make_library, before)
    first = _segments(library)[0]
    library.apply(library.plan_marks([(first, "outcome:Landed"), (first, "by:Corvale")]))
    assert _notes(library) == after


def test_a_tag_and_a_field_at_once_and_the_title(make_library: MakeLibrary) -> None:
    library = _library(make_library, "- 0:10 Left. by:corvale\n")
    (first,) = _segments(library)
    plan = library.plan_marks([(first, "target:head"), (first, "jab")])
    assert plan.title == "mark 2 moments"
    library.apply(plan)
    assert _notes(library) == "- 0:10 Left. #jab by:corvale target:head\n"
    assert library.plan_marks([(first, "target:body")]).title == "field target:body"
    assert library.plan_marks([(first, "target:body")]).edits == ()


@pytest.mark.parametrize(
    ("name", "expected"), [("by:nobody", "no fighter in this bout 'nobody'"), ("outcome:land", "near it: landed")]
)
def test_a_value_that_is_not_known_is_refused(make_library: MakeLibrary, name: str, expected: str) -> None:
    library = _library(make_library, "- 0:10 Left.\n")
    with pytest.raises(UnknownName, match=expected):
        library.plan_marks([(_segments(library)[0], name)])


def test_nobody_acts_on_himself(make_library: MakeLibrary) -> None:
    library = _library(make_library, "- 0:10 Left. by:corvale\n")
    with pytest.raises(UsageError, match="corvale cannot be the one who acts and the one acted on"):
        library.plan_marks([(_segments(library)[0], "on:corvale")])


def test_two_tags_for_one_moment_and_one_that_it_has(make_library: MakeLibrary) -> None:
    library = _library(make_library, "- 0:10 Left. by:corvale\n- 0:20 Away. #pivot\n")
    first, second = _segments(library)
    plan = library.plan_marks([(first, "jab"), (first, "pivot"), (second, "pivot"), (first, "jab")])
    undo = library.apply(plan)
    assert _notes(library) == "- 0:10 Left. #jab #pivot by:corvale\n- 0:20 Away. #pivot\n"
    library.undo(undo)
    assert _notes(library) == "- 0:10 Left. by:corvale\n- 0:20 Away. #pivot\n"


def test_a_moment_is_found_again_behind_new_lines(make_library: MakeLibrary) -> None:
    library = _library(make_library, "- 0:10 Left.\n- 0:20 Left.\n")
    first = _segments(library)[0]
    path = library.root / "bouts" / "one.md"
    path.write_text(FRONT + "New words.\n\n- 0:10 Left.\n- 0:20 Left.\n")
    library.apply(library.plan_marks([(first, "jab")]))
    assert _notes(library) == "New words.\n\n- 0:10 Left. #jab\n- 0:20 Left.\n"


def test_a_moment_that_reads_otherwise_is_left_alone(make_library: MakeLibrary) -> None:
    library = _library(make_library, "- 0:10 Left.\n")
    first = _segments(library)[0]
    path = library.root / "bouts" / "one.md"
    path.write_text(FRONT + "- 0:10 Left, and the right.\n")
    with pytest.raises(UnreadableFile, match="fightnotes build"):
        library.plan_marks([(first, "jab")])


def test_a_line_changed_between_plan_and_write_is_not_overwritten(make_library: MakeLibrary) -> None:
    library = _library(make_library, "- 0:10 Left.\n- 0:20 Away.\n")
    first, second = _segments(library)
    plan = library.plan_marks([(first, "jab"), (second, "pivot")])
    path = library.root / "bouts" / "one.md"
    path.write_text(FRONT + "- 0:10 Left.\n- 0:20 Away, said the analyst meanwhile.\n")
    with pytest.raises(UnreadableFile):
        library.apply(plan)
    assert _notes(library) == "- 0:10 Left.\n- 0:20 Away, said the analyst meanwhile.\n"


def test_transcripts_code_and_unknown_labels_are_refused(make_library: MakeLibrary) -> None:
    library = _library(make_library, "```\n0:10 code\n```\n\n- 0:10 Left.\n")
    code, note = _segments(library)
    (spoken,) = _segments(library, "transcript")
    with pytest.raises(UsageError, match="transcript"):
        library.plan_marks([(spoken, "jab")])
    with pytest.raises(UnreadableFile, match="code"):
        library.plan_marks([(code, "jab")])
    with pytest.raises(UnknownName, match="pivot"):
        library.plan_marks([(note, "pivott")])


PIECES = st.sampled_from(
    ["Left hand", "no.", "#pivot", "#pivot(by:corvale)", "by:brandaal", "outcome:landed", "`x", "`", "*so*", "\\",
     "\\#", "(", ")", "<b>", "[a](b)", "é", "#", "by:", "  ", "&amp;", "|", "![", "<!-- x -->", "#jab"]
)  # fmt: skip


@given(
    st.lists(PIECES, min_size=1, max_size=7).map(" ".join),
    st.sampled_from(["\n", "\r\n"]),
    st.sampled_from(["jab", "target:head", "by:corvale"]),
)
@settings(deadline=None)
def test_a_mark_is_added_or_refused_and_nothing_else_changes(line: str, ending: str, mark: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "bouts").mkdir()
        note = root / "bouts" / "one.md"
        (root / "vocabulary.yaml").write_text(VOCABULARY, encoding="utf-8")
        note.write_bytes((FRONT + f"- 0:10 {line}{ending}- 0:20 Away.{ending}").encode())
        before, was = read_library(root), note.read_bytes().decode()
        library_notes = Notes(root, {bout.id: bout for bout in before.bouts}, before.vocabulary, before.settings)
        try:
            plan = plan_taking(library_notes, [(before.segments[0], mark)])
        except UnreadableFile:
            return
        apply_edits(root, plan.edits)
        now, after = read_library(root).segments, note.read_bytes().decode()
    if mark in _marks(before.segments[0]):
        assert after == was
        return
    written = f" #{mark}" if mark == "jab" else f" {mark}"
    assert after == was or any(
        was == after[:at] + after[at + len(written) :] for at in range(len(after)) if after.startswith(written, at)
    )
    assert [segment.text for segment in now] == [segment.text for segment in before.segments]
    assert (after == was) == (not _marks(now[0]) - _marks(before.segments[0]))
    assert _marks(now[0]) - _marks(before.segments[0]) <= {mark}
    assert _marks(now[1]) == set()


def _marks(segment: Segment) -> set[str]:
    fields = {f"{key}:{value}" for key in ACT_KEYS for value in segment.all_of(key)}
    return {tag.name for tag in segment.tags} | fields


def test_plain_lines_are_not_refused() -> None:
    """The property above lets a refusal pass: these lines must not be refused."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        (root / "bouts").mkdir()
        (root / "vocabulary.yaml").write_text(VOCABULARY, encoding="utf-8")
        lines = [
            "Left hand",
            "no.",
            "Left `x` hand",
            "Left *so* hand by:brandaal",
            "a (b) c",
            "Left #12",
            "R&amp;B",
        ]
        notes = "".join(f"- 0:1{number} {line}\n" for number, line in enumerate(lines))
        (root / "bouts" / "one.md").write_text(FRONT + notes, encoding="utf-8")
        reading = read_library(root)
        library_notes = Notes(root, {bout.id: bout for bout in reading.bouts}, reading.vocabulary, reading.settings)
        plan = plan_taking(library_notes, [(segment, "jab") for segment in reading.segments])
        assert len(plan.edits) == len(lines)
