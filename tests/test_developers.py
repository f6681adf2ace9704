"""DEVELOPERS.md stays true: what stands in backticks is there, and its table of rooms is the house's."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.test_house import FLOORS, PACKAGE

ROOT = Path(__file__).parents[1]
PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
NAMED = sorted(set(re.findall(r"`([^`]+)`", re.sub(r"^```.*?^```$", "", PAGE, flags=re.MULTILINE | re.DOTALL))))
IN_A_LIBRARY = {".fightnotes/", "bouts/", "cuts/", "undo/"}
PATHS = [
    name
    for name in NAMED
    if name not in IN_A_LIBRARY and re.fullmatch(r"[\w./-]*/[\w./-]*|[\w-]+\.(?:py|md|toml)", name)
]
WORDS = [name for name in NAMED if name not in PATHS and re.fullmatch(r"[A-Za-z_][\w.]*(?:\(.*\))?", name)]
SOURCES = [path for folder in (PACKAGE, ROOT / "tests") for path in folder.rglob("*.py") if path != Path(__file__)]
KNOWN = set(re.findall(r"\w+", " ".join(path.read_text(encoding="utf-8") for path in SOURCES)))
"""Every word of the source."""


def _module(name: str) -> Path | None:
    """The file or folder that `room/module` or a path from the top names."""
    homes = (ROOT, PACKAGE, PACKAGE / "audit")  # agreement is a room within the audit
    found = (home / f"{name}{ending}" for home in homes for ending in ("", ".py"))
    return next((path for path in found if path.exists()), None)


@pytest.mark.parametrize("name", PATHS)
def test_every_path_is_there(name: str) -> None:
    """A path, or one of a module with a name that it holds."""
    if _module(name) is None:
        path, _, attribute = name.rpartition(".")
        module = _module(path) if path else None
        assert module is not None, f"there is no {name}"
        assert re.search(rf"\b{attribute}\b", module.read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", WORDS)
def test_every_name_is_in_the_code(name: str) -> None:
    assert KNOWN.issuperset(re.findall(r"\w+", name.partition("(")[0]))


def test_the_rooms_are_those_of_the_house() -> None:
    rooms = re.findall(r"^\| `([\w.]+)/?` \|", PAGE.partition("## How a note")[0], re.MULTILINE)
    assert [room.removesuffix(".py") for room in rooms] == [room for floor in reversed(FLOORS) for room in floor]


def test_golden_cases_and_modules_to_run_are_told_of() -> None:
    for path in (ROOT / "tests" / "cases").iterdir():
        assert f"`tests/cases/{path.name}`" in PAGE
    for path in (ROOT / "tests" / "bench").glob("*.py"):
        text = path.read_text(encoding="utf-8")
        if "__main__" in text:
            assert path.stem in PAGE, f"{path.name} is not told of"
            assert f"python -m tests.bench.{path.stem}" in text.partition('"""\n\nfrom')[0]


def test_there_is_something_to_look_at() -> None:
    assert len(PATHS) > 80
    assert len(WORDS) > 60
