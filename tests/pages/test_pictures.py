"""Pictures: all that they show stands in words beside them, nothing lies on another, and others read the files."""

from __future__ import annotations

import re
from itertools import combinations
from xml.etree import ElementTree

from hypothesis import given
from hypothesis import strategies as st

from fightnotes.pages.drawing import as_file, as_png
from fightnotes.pages.measured import Measured, bars_with_intervals, columns_with_intervals, ticks
from fightnotes.pages.timeline import DrawnRound, Mark, timeline

MARKS = st.builds(
    Mark,
    at=st.floats(0, 180),
    letter=st.sampled_from("ABC"),
    side=st.sampled_from(("red", "blue", "neither")),
    told=st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=9),
)
ROUNDS = st.lists(
    st.builds(
        DrawnRound,
        label=st.just("R1"),
        seconds=st.floats(1, 300),
        noted=st.booleans(),
        marks=st.lists(MARKS, max_size=12),
    ),
    max_size=5,
)


@given(ROUNDS)
def test_no_letter_of_a_timeline_lies_on_another_or_leaves_the_drawing(rounds: list[DrawnRound]) -> None:
    root = ElementTree.fromstring(as_file(timeline(rounds, [("A", "jab & cross")], "A bout")))
    size = [float(each) for each in root.attrib["viewBox"].split()[2:]]
    letters = [each for each in root.iter() if each.tag.endswith("text") and each.get("font-weight") == "bold"]
    assert len(letters) == sum(len(one.marks) for one in rounds)
    places = [(float(each.attrib["x"]), float(each.attrib["y"])) for each in letters]
    assert all(0 <= x <= size[0] and 0 <= y <= size[1] for x, y in places)
    assert all(abs(x - u) > 12.8 or abs(y - v) > 10 for (x, y), (u, v) in combinations(places, 2))


def test_a_timeline_says_in_words_what_it_shows() -> None:
    rounds = [
        DrawnRound("R1", 180, True, [Mark(65, "A", "red", "1:55 jab"), Mark(5, "A", "blue", "2:55 <jab>")]),
        DrawnRound("R2", 180, False),
        DrawnRound("R3", 90, True),
    ]
    root = ElementTree.fromstring(as_file(timeline(rounds, [("A", "jab")], "One & two")))
    told = root.findtext("{http://www.w3.org/2000/svg}desc")
    assert told == "R1: 2:55 <jab>, 1:55 jab; R2: not noted; R3: nothing"
    assert root.findtext("{http://www.w3.org/2000/svg}title") == "One & two"
    lines = [each.attrib for each in root.iter() if each.tag.endswith("line")]
    long = [each for each in lines if each["y1"] == each["y2"]]
    assert ["stroke-dasharray" in each for each in long] == [False, True, False]
    assert float(long[2]["x2"]) - float(long[2]["x1"]) == (float(long[0]["x2"]) - float(long[0]["x1"])) / 2


@given(st.floats(1e-6, 1e9))
def test_ticks_reach_over_the_top_in_few_even_steps(top: float) -> None:
    marks = ticks(top)
    assert marks[0] == 0
    assert marks[-1] >= top * (1 - 1e-9)
    assert 2 <= len(marks) <= 6
    step = marks[1]
    assert marks[-1] - top <= step * (1 + 1e-9)
    assert re.match(r"^[125](\.0)?e", f"{step:.1e}")


def test_what_nobody_noted_is_no_zero() -> None:
    items = [Measured("R1", 0.0, 0.0, 3.7), Measured("R2", None, None, None), Measured("R3", 4.0, 1.1, 10.2, "4 in 1")]
    for picture in (columns_with_intervals, bars_with_intervals):
        svg = picture(items, "Jabs", "a round")
        root = ElementTree.fromstring(as_file(svg))
        assert (
            root.findtext("{http://www.w3.org/2000/svg}desc")
            == "R1: 0 a round (0 to 3.7); R2: not noted; R3: 4 a round (1.1 to 10), 4 in 1"
        )
        bars = [each for each in root.iter() if each.tag.endswith("rect") and each.get("class") == "main"]
        assert len(bars) == 2


def test_a_drawing_is_a_png_of_three_pixels_a_unit() -> None:
    png = as_png(bars_with_intervals([Measured("jab", 2.0, 1.0, 3.0)], "Jabs", "a round"))
    assert png.startswith(b"\x89PNG\r\n\x1a\n")  # ISO/IEC 15948, 5.2
    width, height = int.from_bytes(png[16:20]), int.from_bytes(png[20:24])
    assert (width, height) == (340 * 3, (34 + 34) * 3)
