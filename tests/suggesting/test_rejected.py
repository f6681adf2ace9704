"""Refused suggestions, remembered while the notes are edited."""

from __future__ import annotations

from pathlib import Path

import pytest

from fightnotes.editing.plan import apply_plan, take_back
from fightnotes.errors import UnreadableFile
from fightnotes.model import Segment
from fightnotes.reading.file_names import TAGS_FILE
from fightnotes.suggesting.rejected import is_rejected, plan_rejection, read_rejections, rejection_of


def _segment(text: str, time: str | None = "0:10", file: str = "bouts/one.md", line: int = 5) -> Segment:
    return Segment(bout="one", file=file, line=line, last_line=line, kind="note", text=text, written_time=time)


REFUSED = _segment("Left hand.")


def reject(root: Path, segment: Segment, concept: str) -> None:
    apply_plan(root, plan_rejection(root, segment, concept))


@pytest.mark.parametrize(
    ("now", "others", "remembered"),
    [
        pytest.param(_segment("Left hand.", line=9), [], True, id="another line"),
        pytest.param(_segment("Left hand, short."), [], True, id="text edited"),
        pytest.param(_segment("Left hand.", time="0:11"), [], True, id="time edited"),
        pytest.param(_segment("Left hand.", file="bouts/two.md"), [], True, id="file renamed"),
        pytest.param(_segment("Left  hand.\n"), [], True, id="white space"),
        pytest.param(_segment("Right hand.", time="0:30"), [REFUSED], False, id="another moment"),
        pytest.param(_segment("Left hand.", time="0:30"), [REFUSED], False, id="same words at another time"),
        pytest.param(_segment("And the right."), [REFUSED], False, id="another note at the same time"),
        pytest.param(_segment("Left hand.", file="bouts/two.md"), [REFUSED], False, id="the same in another file"),
    ],
)
def test_which_moment_is_meant(now: Segment, others: list[Segment], remembered: bool) -> None:
    refusals = [rejection_of(REFUSED, "jab")]
    assert is_rejected(now, "jab", refusals, [now, *others]) is remembered
    assert not is_rejected(now, "pivot", refusals, [now, *others])


def test_the_file_is_kept_as_it_is_but_for_the_new_line(tmp_path: Path) -> None:
    path = tmp_path / TAGS_FILE
    reject(tmp_path, _segment('He said: "jab" – café\n#2'), "jab")
    path.write_bytes(path.read_bytes() + b"# mine\r\n- {file: a.md, time: null, text: b, concept: c}")
    before = path.read_bytes()
    reject(tmp_path, REFUSED, "pivot")
    assert path.read_bytes().startswith(before)
    assert [each.concept for each in read_rejections(tmp_path)] == ["jab", "c", "pivot"]
    assert read_rejections(tmp_path)[0].text == 'He said: "jab" – café #2'
    reject(tmp_path, REFUSED, "pivot")
    assert len(read_rejections(tmp_path)) == 3
    take_back(tmp_path)
    assert path.read_bytes() == before


def test_the_first_refusal_taken_back_leaves_no_file(tmp_path: Path) -> None:
    reject(tmp_path, REFUSED, "jab")
    take_back(tmp_path)
    assert not (tmp_path / TAGS_FILE).exists()


@pytest.mark.parametrize("text", ["a: b: c", "just words", "- {file: x}", "- 3"])
def test_a_broken_file_is_told_with_its_place(tmp_path: Path, text: str) -> None:
    (tmp_path / TAGS_FILE).write_text(text)
    with pytest.raises(UnreadableFile, match=rf"{TAGS_FILE}:1:\d"):
        read_rejections(tmp_path)
