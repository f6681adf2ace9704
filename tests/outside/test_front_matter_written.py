"""Front matter that `start` writes, read by other people's readers.

YAML 1.1 by PyYAML, where `3:00` without quotes would be a number of base 60 and `no` false
(https://yaml.org/type/int.html, https://yaml.org/type/bool.html); YAML 1.2.2 by ruamel.yaml; dates by ISO 8601.
"""

from __future__ import annotations

import datetime
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from ruamel.yaml import YAML

from fightnotes.library import open_library
from tests.starting.untidy import write_untidy

NOTES = "- R1 4:40 one\n- R1 3:20 two\n- R1 1:00 three\n- R1 0:40 four\n"
AWKWARD = (
    "No v Yes",
    "Null v True",
    "Varga: the v Other",
    "3:00 at dawn",
    '#1 - O\'Shanter v "Quote" Ny',
    "{a} [b] - c",
)
"""Names of files that YAML would read as something else than text."""


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = write_untidy(tmp_path_factory.mktemp("started") / "no")
    for number, name in enumerate(AWKWARD):
        (root / f"20{number + 31}-03-08 {name}.md").write_text(f"{NOTES}by:ana on:bo", encoding="utf-8")
    library = open_library(root)
    library.apply(library.plan_beginning(library.survey(), {"analyst": "on"}).plan)
    return root


def begun(root: Path) -> list[tuple[str, str]]:
    """Bout files with the text between their dashes."""
    texts = ((path.name, path.read_text(encoding="utf-8")) for path in sorted((root / "bouts").glob("*.md")))
    return [(name, re.split(r"^---$", text, flags=re.MULTILINE)[1]) for name, text in texts if "bout:" in text]


def as_text(value: Any) -> Any:
    """With dates and numbers as they are written, as both readers take these from plain scalars."""
    if isinstance(value, dict):
        return {str(key): as_text(each) for key, each in value.items()}
    if isinstance(value, list):
        return [as_text(each) for each in value]
    return str(value)


def test_both_readers_and_ours_read_the_same(root: Path) -> None:
    bouts = {bout.id: bout for bout in open_library(root).read().bouts}
    matters = begun(root)
    assert len(matters) == 16 + len(AWKWARD)
    for name, text in matters:
        older, newer = yaml.safe_load(text), YAML(typ="safe", pure=True).load(text)
        assert as_text(older) == as_text(newer), name
        ours = bouts[older["bout"]]
        assert older["title"] == ours.title
        assert (older.get("date") and str(older["date"])) == (ours.date and ours.date.isoformat())
        assert [older[corner]["name"] for corner in ("red", "blue") if corner in older] == [
            fighter.name for fighter in ours.fighters
        ]
        assert older["analyst"] == ours.analyst


def test_times_are_text_and_dates_are_days(root: Path) -> None:
    """A length such as 5:00 is not 300, a date is one of ISO 8601, names are never true, false or null."""
    lengths = set()
    for name, text in begun(root):
        matter = yaml.safe_load(text)
        lengths.add(matter.get("rounds", {}).get("length"))
        assert isinstance(matter["title"], str), name
        assert isinstance(matter["bout"], str), name
        if "date" in matter:
            assert datetime.date.fromisoformat(str(matter["date"])) == matter["date"]
        for corner in ("red", "blue"):
            assert isinstance(matter.get(corner, {}).get("name", ""), str), name
    assert lengths == {None, "5:00", "3:00"}
    assert yaml.safe_load((root / "library.yaml").read_text(encoding="utf-8")) == {"title": "no"}
