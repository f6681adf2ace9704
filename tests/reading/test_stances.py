"""Who holds which stance when, and the pairing that follows."""

from __future__ import annotations

from pathlib import Path

import pytest

from fightnotes.model import Bout, Fighter
from fightnotes.reading.library import read_library
from fightnotes.reading.stances import pairing_of

FIGHTERS = "red: {name: A Corvale, stance: southpaw}\nblue: {name: B Brandaal, stance: orthodox}\n"


@pytest.mark.parametrize(
    ("red", "blue", "pairing"),
    [
        ("southpaw", "orthodox", "open"),
        ("orthodox", "southpaw", "open"),
        ("southpaw", "southpaw", "closed"),
        ("orthodox", "orthodox", "closed"),
        ("switch", "orthodox", "unknown"),
        ("switch", "switch", "unknown"),
        (None, "orthodox", "unknown"),
    ],
)
def test_pairing(red: str | None, blue: str, pairing: str) -> None:
    bout = Bout(id="b", file="b.md", title="b", red=Fighter(id="r", name="r"), blue=Fighter(id="l", name="l"))
    assert pairing_of(bout, {"l": blue, **({"r": red} if red else {})}) == pairing


def test_no_pairing_with_one_fighter() -> None:
    bout = Bout(id="b", file="b.md", title="b", red=Fighter(id="r", name="r"))
    assert pairing_of(bout, {"r": "southpaw"}) == "unknown"


def read(tmp_path: Path, note: str, **sources: str) -> dict[str, str]:
    """Corvale's stance by the text of each segment."""
    named = {name.replace("__", "."): text for name, text in sources.items()}
    (tmp_path / "bouts").mkdir()
    listed = ", ".join(f"../{name}" for name in named)
    (tmp_path / "bouts/b.md").write_text(f"---\n{FIGHTERS}sources: [{listed}]\n---\n{note}")
    for name, text in named.items():
        (tmp_path / name).write_text(text)
    reading = read_library(tmp_path)
    assert reading.problems == ()
    return {segment.text: segment.stances["corvale"] for segment in reading.segments}


def test_untimed_notes_stand_where_they_are_written(tmp_path: Path) -> None:
    note = "first\n\n- 4:41 a\n\nthen stance:corvale=orthodox\n\n- 4:50 b\n- 4:45 earlier\n\nlast\n"
    assert read(tmp_path, note) == {
        "first": "southpaw",
        "a": "southpaw",
        "then": "orthodox",
        "b": "orthodox",
        "earlier": "orthodox",
        "last": "orthodox",
    }


def test_a_nested_note_changes_the_stance_for_what_follows(tmp_path: Path) -> None:
    note = "- 4:41 a\n  - 4:43 b stance:corvale=orthodox\n  - 4:45 c\n- 4:50 d\n"
    assert read(tmp_path, note) == {"a": "southpaw", "b": "orthodox", "c": "orthodox", "d": "orthodox"}


def test_two_changes_in_one_note_leave_the_last(tmp_path: Path) -> None:
    note = "- 4:41 a stance:corvale=orthodox stance:brandaal=southpaw stance:corvale=switch\n"
    assert read(tmp_path, note) == {"a": "switch"}


def test_other_sources_follow_the_notes_of_the_bout_and_their_own(tmp_path: Path) -> None:
    stances = read(
        tmp_path,
        "- 4:41 a\n- 4:50 b stance:corvale=orthodox\n",
        look__md="- 4:45 c\n- 4:51 d\n- 4:55 e stance:corvale=switch\n- 5:00 f\n",
        talk__txt="[4:49] g.\n[4:58] h.\n",
    )
    assert stances == {
        "a": "southpaw",
        "b": "orthodox",
        "c": "southpaw",
        "d": "orthodox",
        "e": "switch",
        "f": "switch",
        "G.": "southpaw",
        "H.": "orthodox",
    }
