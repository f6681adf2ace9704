from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.cutting.burnt_in import reel_styles
from fightnotes.cutting.wrapping import columns_in, most_lines, wrapped


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("open guard bait", ("open guard", "bait")),
        ("aufwärtshakenfinte", ("aufwärtsha", "kenfinte")),
        ("a aufwärtshakenfinte b", ("a", "aufwärtsha", "kenfinte b")),
        ("風堀澪の右を誘う", ("風堀澪の右", "を誘う")),
        ("JAB JAB jab", ("JAB", "JAB jab")),
        ("e\u0301" * 12, ("e\u0301" * 10, "e\u0301" * 2)),
        ("", ()),
    ],
)
def test_lines_of_ten_letters(text: str, lines: tuple[str, ...]) -> None:
    assert wrapped(text, 10) == lines


@given(st.text(max_size=200), st.integers(min_value=2, max_value=40))
def test_no_letter_is_lost_but_behind_the_last_line(text: str, columns: int) -> None:
    lines = wrapped(text, columns)
    assert len(lines) <= most_lines(columns)
    kept = "".join(lines).replace(" ", "")
    whole = "".join(text.split())
    assert kept == whole or (len(lines) == most_lines(columns) and whole.startswith(kept.removesuffix("…")))


def test_what_takes_more_than_four_lines_or_120_letters_is_cut_short() -> None:
    assert wrapped("right hand jab " * 20, 40) == (
        "right hand jab right hand jab right hand",
        "jab right hand jab right hand jab right",
        "hand jab right hand jab right hand jab",
        "right hand jab right hand jab right han…",
    )
    assert [len(line) for line in wrapped("jab, " * 60, 10)] == [9] * 11 + [10]


def test_a_line_of_a_picture_holds_two_letters_to_its_height() -> None:
    assert columns_in(640, 40) == 32
    assert columns_in(1, 40) == 2


def test_a_picture_that_stands_upright_has_letters_no_larger() -> None:
    upright, level = (reel_styles(*size)[0].size for size in ((1080, 1920), (1920, 1080)))
    assert upright == level == 67
