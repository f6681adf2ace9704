"""Misheard forms added to fighters, in `library.yaml` and in front matter, every other byte kept."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.editing.fighter_rewrite import add_to_corner, add_to_listed
from fightnotes.editing.line_edit import edited
from fightnotes.errors import UnreadableFile
from fightnotes.reading.settings_file import read_settings

FORMS = ("brandle", "no: brand all")
WRITTEN = '[brandle, "no: brand all"]'


def note(front: str) -> str:
    return f"---\nbout: a-b\n{front}media: a.mp4   # the tape\n---\n# Notes\n\n---\nblue: no fighter\n---\n"


@pytest.mark.parametrize(
    ("front", "expected"),
    [
        ("blue: {name: Rika Brandaal, stance: orthodox}\n",
         f"blue: {{name: Rika Brandaal, stance: orthodox, misheard: {WRITTEN}}}\n"),
        ("blue:  {name: Rika Brandaal, misheard: [brand all]  }   # hers\n",
         'blue:  {name: Rika Brandaal, misheard: [brand all, brandle, "no: brand all"]  }   # hers\n'),
        ("blue: {misheard: brandle, name: Rika Brandaal}\n",
         f"blue: {{misheard: {WRITTEN}, name: Rika Brandaal}}\n"),
        ("blue:\n  name: Rika Brandaal\n  stance: orthodox   # mostly\n",
         f"blue:\n  name: Rika Brandaal\n  stance: orthodox   # mostly\n  misheard: {WRITTEN}\n"),
        ("blue:\n  misheard:\n    - brand all   # often\n  name: Rika\n",
         'blue:\n  misheard:\n    - brand all   # often\n    - brandle\n    - "no: brand all"\n  name: Rika\n'),
        ("blue: {name: Rika Brandaal, misheard: }\n", f"blue: {{name: Rika Brandaal, misheard: {WRITTEN} }}\n"),
        ("blue: Rika Brandaal (southpaw)   # left-handed\n",
         f"blue: {{name: Rika Brandaal, stance: southpaw, misheard: {WRITTEN}}}   # left-handed\n"),
        ('blue: "Rika Brandaal"\n', f"blue: {{name: Rika Brandaal, misheard: {WRITTEN}}}\n"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_forms_in_front_matter(front: str, expected: str, newline: str, mark: str) -> None:
    before, wanted = (mark + note(text).replace("\n", newline) for text in (front, expected))
    assert edited("a.md", before, add_to_corner(before, "a.md", "blue", FORMS)) == wanted


def test_a_form_that_is_there_is_not_written_again() -> None:
    text = note("blue: {name: Rika Brandaal, misheard: [brandle]}\n")
    assert add_to_corner(text, "a.md", "blue", ["brandle"]) == ()


@pytest.mark.parametrize("front", ["", "blue: [Rika]\n", "red: &a {name: Rika Brandaal}\nblue: *a\n"])
def test_a_fighter_who_cannot_be_edited_is_refused(front: str) -> None:
    text = note(front)
    with pytest.raises(UnreadableFile, match=r"a\.md.*cannot be edited in place"):
        add_to_corner(text, "a.md", "blue", FORMS)


LIBRARY = """\
title: Tapes
fighters:   # everybody
  # women
  - {id: corvale, name: Ines Corvale}
  - Rika Brandaal
  - id: kazehori
    name: Mio Kazehori
    misheard: [kaza hori]
model: small
"""


@pytest.mark.parametrize(
    ("fighter", "old", "new"),
    [
        ("corvale", "Ines Corvale}", f"Ines Corvale, misheard: {WRITTEN}}}"),
        ("brandaal", "- Rika Brandaal", f"- {{name: Rika Brandaal, misheard: {WRITTEN}}}"),
        ("kazehori", "[kaza hori]", '[kaza hori, brandle, "no: brand all"]'),
    ],
)
def test_forms_in_the_library_s_list(fighter: str, old: str, new: str) -> None:
    edits = add_to_listed(LIBRARY, "library.yaml", fighter, FORMS)
    assert edited("library.yaml", LIBRARY, edits) == LIBRARY.replace(old, new)


def test_a_fighter_whom_the_list_lacks() -> None:
    with pytest.raises(UnreadableFile, match=r"library\.yaml"):
        add_to_listed(LIBRARY, "library.yaml", "nobody", FORMS)


@given(st.lists(st.text(min_size=1, max_size=10).map(str.strip).filter(bool), min_size=1, max_size=3, unique=True))
def test_any_form_is_read_again(forms: list[str]) -> None:
    clean = [form for form in forms if not any(0xD800 <= ord(char) < 0xE000 or char in "\0\ufffd" for char in form)]
    edits = add_to_listed(LIBRARY, "library.yaml", "corvale", clean)
    settings, problems = read_settings(edited("library.yaml", LIBRARY, edits), "library.yaml")
    assert settings.fighters[0].misheard == tuple(clean)
    assert problems == ()
