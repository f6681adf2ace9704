"""Seconds, handles, places and rounds: one rule wherever they are written."""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from fightnotes.cli.main import app
from fightnotes.cutting import read_saved
from fightnotes.reading.settings_file import read_settings
from fightnotes.reading.values import place_of, round_of, seconds_of, written_seconds

GOOD = {
    "2": Fraction(2),
    "0": Fraction(0),
    "1.5": Fraction(3, 2),
    "007": Fraction(7),
    "5/3": Fraction(5, 3),
    "0:02": Fraction(2),
    "75:00.25": Fraction(18001, 4),
    "1:00:00": Fraction(3600),
    "100:00:00": Fraction(360_000),
    "360000": Fraction(360_000),
    "0.000000001": Fraction(1, 10**9),
}
BAD = (
    "", "soon", "-1", "+1", "1e3", "1e9999", "1e999999999", "1_000", ".5", "5.", "1,5", "٣", "nan", "inf", "1/0",
    "1/000", "1/2/3", "1 2", "0:75", "0:5", "R1 0:05", "360000.1", "100:00:01", "0.0000000001", "0:00.0000000001",
    "1" * 5000, "0." + "1" * 5000, "1/" + "3" * 5000,
)  # fmt: skip
Read = Callable[[str, Path], Fraction | None]


def in_settings(text: str, _: Path) -> Fraction | None:
    settings, problems = read_settings(f"handles: {{before: '{text}'}}\n", "library.yaml")
    return None if problems else settings.handles.before


def in_saved_list(text: str, folder: Path) -> Fraction | None:
    return _saved(f"handles: {{before: '{text}'}}\ncuts: [{{at: 'a.md:1'}}]\n", folder)


def in_saved_cut(text: str, folder: Path) -> Fraction | None:
    return _saved(f"cuts: [{{at: 'a.md:1', handles: {{before: '{text}'}}}}]\n", folder)


def _saved(written: str, folder: Path) -> Fraction | None:
    (folder / "list.yaml").write_text(written, encoding="utf-8")
    saved, problems = read_saved(folder / "list.yaml")
    return None if problems else (saved.moments[0].handles or saved.handles).before


ROOMS: tuple[Read, ...] = (in_settings, in_saved_list, in_saved_cut)


@pytest.mark.parametrize("read", ROOMS)
@pytest.mark.parametrize("text", GOOD)
def test_seconds_are_read_alike(read: Read, text: str, tmp_path: Path) -> None:
    assert read(text, tmp_path) == GOOD[text]


@pytest.mark.parametrize("read", ROOMS)
@pytest.mark.parametrize("text", BAD, ids=lambda text: text[:12])
def test_what_is_no_seconds_is_reported_alike(read: Read, text: str, tmp_path: Path) -> None:
    assert read(text, tmp_path) is None


@pytest.mark.parametrize("text", BAD, ids=lambda text: text[:12])
def test_the_command_line_refuses_the_same(text: str) -> None:
    result = CliRunner().invoke(app, ["cut", "step", f"--before={text}", "--library", "nowhere"])
    assert (result.exit_code, "seconds, such as 2" in " ".join(result.stderr.split())) == (2, True)


@pytest.mark.parametrize("text", GOOD)
def test_the_command_line_takes_the_same(text: str) -> None:
    result = CliRunner().invoke(app, ["cut", "step", f"--before={text}", "--library", "nowhere"])
    assert "there is no folder nowhere" in f"{result.stderr} {result.exception}"


@given(st.fractions(0, 360_000, max_denominator=10**9))
def test_what_is_written_is_read_back(seconds: Fraction) -> None:
    assert seconds_of(str(written_seconds(seconds))) == seconds


@pytest.mark.parametrize(
    ("text", "place"),
    [("bouts/a.md:12", ("bouts/a.md", 12)), ("a:b.md:007", ("a:b.md", 7)), ("one two.md:1", ("one two.md", 1))],
)
def test_places(text: str, place: tuple[str, int]) -> None:
    assert place_of(text) == place


@pytest.mark.parametrize(
    "text", ["", "a.md", ":3", "a.md:", "a.md:0", "a.md:-1", "a.md:٣", "a.md:1.5", "a:" + "1" * 5000]
)
def test_what_is_no_place(text: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(text)}$"):
        place_of(text)


def test_rounds() -> None:
    assert [round_of(text) for text in ("1", "04", "999")] == [1, 4, 999]


@pytest.mark.parametrize("text", ["", "0", "1000", "-1", "+3", "1_0", "1.0", "٣", "four", "1" * 5000])
def test_what_is_no_round(text: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(text)}$"):
        round_of(text)
