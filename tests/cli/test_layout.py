"""What commands print at 40, 80 and 120 columns, held against `screens/`.

`WRITE_SCREENS=1 python -m pytest tests/cli/test_layout.py` writes them anew. Figures of meaning and probability depend
on the machine's arithmetic and stand as N.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from fightnotes.cli.layout import print_blocks, print_table, whole
from fightnotes.cli.main import app
from tests.cli.terminal import at_terminal
from tests.conftest import RunCommand

SCREENS = Path(__file__).parent / "screens"
COMMANDS = {
    "find": ("find", "lead", "foot", "outside", "-n", "3"),
    "suggest": ("suggest", "--above", "0.001", "-n", "2"),
    "vocabulary": ("vocabulary", "show"),
}
WIDTHS = (40, 80, 120)
_FIGURE = re.compile(r"((?:meaning|near|definition)\s+|\()-?\d\.\d\d|\d+%")
_PLACE = re.compile(r"[a-z]+/[\w-]+\.(?:md|vtt):\d+")


def screen(words: tuple[str, ...], columns: int, root: Path) -> str:
    result = CliRunner().invoke(app, [*words, "--library", str(root)], env={"COLUMNS": str(columns)})
    assert result.exit_code in (0, 1), result.output
    return without_figures(result.stdout)


def without_figures(shown: str) -> str:
    return _FIGURE.sub(lambda found: f"{found[1] or ''}N", shown)


@pytest.mark.parametrize("columns", WIDTHS)
@pytest.mark.parametrize("name", COMMANDS)
def test_screens(root: Path, name: str, columns: int) -> None:
    shown = screen(COMMANDS[name], columns, root)
    file = SCREENS / f"{name}-{columns}.txt"
    if os.environ.get("WRITE_SCREENS"):
        file.write_text(shown, encoding="utf-8")
    assert shown == file.read_text(encoding="utf-8")
    assert all(len(line) <= columns or " " not in line.strip() for line in shown.splitlines()), "too wide"


@pytest.mark.parametrize("words", [*COMMANDS.values(), ("cut", "--tag", "outside-step"), ("propose",)], ids=" ".join)
def test_every_width_tells_the_same_places(root: Path, words: tuple[str, ...]) -> None:
    places = [sorted(_PLACE.findall(screen(words, columns, root))) for columns in (1, *WIDTHS, 1000)]
    assert places.count(places[0]) == len(places)


def test_a_terminal_is_as_wide_as_it_is(root: Path) -> None:
    _, shown = at_terminal(*COMMANDS["find"], "--library", root, columns=40, TERM="dumb")
    assert without_figures(shown) == (SCREENS / "find-40.txt").read_text(encoding="utf-8")


PLACES = ("bouts/my first bout, the long one.md:12", "second look/other hand.md:7:3")


@pytest.mark.parametrize("columns", ["1", "20", "40", "60", "80", "200"])
def test_a_place_is_never_broken(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, columns: str
) -> None:
    """Names with blanks are no exception, and a narrow terminal breaks none either."""
    monkeypatch.setenv("COLUMNS", columns)
    note = f"A jab, as said in\n{', '.join(map(whole, PLACES))}"
    print_table(("", "moment", "note", "by"), [("1", "a-bout\nR1 1:20", note, "mk 3")], wide=2)
    print_blocks([["#jab 97%", whole(PLACES[0]), f"like {whole(PLACES[1])} (0.70)"]])
    shown = capsys.readouterr().out.splitlines()
    assert [sum(place in line for line in shown) for place in PLACES] == [2, 2]


def test_scripts_without_blanks_are_wrapped_by_their_width(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """East Asian wide characters take two columns (Unicode Standard Annex 11)."""
    monkeypatch.setenv("COLUMNS", "30")
    print_table(("", "note"), [("1", "風堀" * 20)], wide=1)
    shown = [line.strip(" 1") for line in capsys.readouterr().out.splitlines()[2:]]
    assert "".join(shown) == "風堀" * 20
    assert max(map(len, shown)) <= 13


@pytest.mark.parametrize("columns", ["", "0", "-3", "many"])
def test_a_width_that_is_none(
    root: Path, fightnotes: RunCommand, monkeypatch: pytest.MonkeyPatch, columns: str
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    assert "bouts/first.md:19" in fightnotes(*COMMANDS["find"], "--library", root).stdout
