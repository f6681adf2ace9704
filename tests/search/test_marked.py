"""What a query met is marked where it stands."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.library import open_library
from fightnotes.search.marked import in_pieces
from tests.conftest import MakeLibrary

MARKED = (
    ("She jabs and JABBED again.", ("jabs", "jabbed"), ["jabs", "JABBED"]),
    ("Plants the lead foot outside.", ("“lead foot”",), ["lead foot"]),
    ("The lead, then the foot; lead foot.", ("“lead foot”",), ["lead foot"]),
    ("Baits with an open guard.", ("“baits with open guard”",), ["Baits with an open guard"]),
    ("lead foot outside", ("“lead foot”", "“foot outside”"), ["lead foot outside"]),
    ("She feints over the top.", ("“over the”",), ["over the"]),
    ("Nothing of it.", ("jab",), []),
    ("", ("jab",), []),
)


@pytest.mark.parametrize(("text", "met", "marked"), MARKED)
def test_words_phrases_and_labels(text: str, met: tuple[str, ...], marked: list[str]) -> None:
    pieces = in_pieces(text, met)
    assert [piece for piece, was_met in pieces if was_met] == marked
    assert "".join(piece for piece, _ in pieces) == text


@given(st.text(), st.lists(st.text(max_size=12), max_size=4))
def test_nothing_of_the_text_is_lost(text: str, met: list[str]) -> None:
    pieces = in_pieces(text, met)
    assert "".join(piece for piece, _ in pieces) == text
    assert all(piece for piece, _ in pieces)


def test_a_hit_marks_what_the_search_met(make_library: MakeLibrary) -> None:
    root = make_library({"bouts/a.md": "---\nbout: a\n---\n- 0:10 jabs twice\n- 0:40 lead hook\n"})
    open_library(root).build()
    first = open_library(root).find("jabbing").hits[0]
    assert first.quoted_pieces == (("jabs", True), (" twice", False))
