"""A short run of damaged inputs, and each input that a long run (`tests.bench.fuzz`) found broken, by number."""

from __future__ import annotations

import warnings
from pathlib import Path

import pytest

from fightnotes.library import open_library
from tests.bench.fuzz import KINDS, Tally, failures, read

FOUND: dict[int, tuple[str, bytes]] = {
    1: (
        "settings",
        b'fighters:\n- {name: "A\\ud800 B", also: ["\\ud83e\\udd4a", "\\0"]}\n',
    ),  # halves of a pair, and NUL
    2: ("note", b"> " * 120 + b"0:12 she steps in\n"),  # over 100 levels: nothing of it was kept or reported
    3: ("note", b"".join(b"  " * level + b"- 1:00 x\n" for level in range(130))),
    4: ("settings", b"fighters:\n- &a {name: A B}\n- &a {name: C D}\n"),  # an anchor twice: the YAML reader warned
    5: ("note", b"---\nmedia: {file: a\n- 32:48 A wild right.mp4, rate: 25}\n---\n- 0:12 jab\n"),
    6: ("srt", b"00:01:42,106 --> 00:01:46,853\n00:01:42,106 --> 00:01:46,853\nword\n"),
}
"""1 to 3 were thought of and not found; all broke what `failures` holds a reading to, or its check of it."""


@pytest.mark.parametrize("number", FOUND)
def test_what_was_found(number: int, tmp_path: Path) -> None:
    kind, raw = FOUND[number]
    with warnings.catch_warnings(action="error"):
        segments, problems, wrong = read(kind, raw, tmp_path)
    assert wrong == []
    assert segments or problems or number == 4


def test_damaged_inputs_are_read_or_reported(demo: Path, tmp_path: Path) -> None:
    tallies: dict[str, Tally] = {}
    broken = list(failures(360, seed=7, root=tmp_path, library=open_library(demo), tallies=tallies))
    assert broken == []
    assert set(tallies) == set(KINDS)
    assert sum(tally.with_problems for tally in tallies.values()) > 100
    assert all(tally.with_segments for kind, tally in tallies.items() if kind not in ("vocabulary", "settings"))
