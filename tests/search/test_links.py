"""Where a hit lies: its link, its time as text, its place in the bout."""

from __future__ import annotations

from fractions import Fraction
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest

from fightnotes.library import Library
from fightnotes.model import Recording, timestamp_lists
from fightnotes.model.moment import media_link
from fightnotes.search.filters import Filters
from fightnotes.search.hit import Hit
from tests.search.samples import NAMES


def hits_of(library: Library, **filters: Any) -> dict[str, Hit]:
    hits = library.find("", Filters.model_validate(filters), limit=100).hits
    return {NAMES.get(hit.place, ""): hit for hit in hits}


@pytest.mark.parametrize(
    ("start", "end", "fragment"),
    [
        (10, 20, "t=10,20"),
        (0, 12, "t=0,12"),
        (Fraction(1001, 30000), Fraction(2002, 30000), "t=0.033,0.067"),
        ("10.5", "10.75", "t=10.5,10.75"),
        (10, None, "t=10"),
        (10, 10, "t=10"),
        (10, "10.0001", "t=10"),
        (100000, 100100, "t=100000,100100"),
    ],
)
def test_fragments(start: Any, end: Any, fragment: str) -> None:
    link = media_link(Recording(file="a.mp4"), Fraction(start), None if end is None else Fraction(end))
    assert link == f"a.mp4#{fragment}"


@pytest.mark.parametrize("file", ["media/first bout.mp4", "50% off.mp4", "a#b?c.mp4", "風堀/ø.mp4", "a&t=3.mp4"])
def test_the_file_name_survives_the_link(file: str) -> None:
    link = urlsplit(media_link(Recording(file=file), Fraction(1), Fraction(2)) or "")
    assert (unquote(link.path), link.query, link.fragment) == (file, "", "t=1,2")


def test_no_link_without_a_file_or_a_time() -> None:
    assert media_link(None, Fraction(1), None) is None
    assert media_link(Recording(), Fraction(1), None) is None
    assert media_link(Recording(file="a.mp4"), None, None) is None


def test_a_hit_links_into_its_own_recording(library: Library) -> None:
    hits = hits_of(library, bout=["corvale-brandaal-2031"])
    assert hits["outside landed"].link == "media/first%20bout.mp4#t=20,25"
    speech = hits_of(library, kind="transcript")["speech"]
    assert (speech.segment.timed_on, speech.link) == ("breakdown", "media/talk.mp4#t=15,19")
    assert (speech.segment.footage_start, speech.segment.round, speech.round_clock) == (Fraction(35), 1, "1:35-1:31")
    assert hits_of(library, bout=["brandaal-iturbena-2030"])["bait worked"].link is None


@pytest.mark.parametrize(
    ("name", "place"),
    [
        ("walk", "before the first bell"),
        ("outside landed", "R1 1:50-1:45"),
        ("stool", "rest after R1"),
        ("referee", "after R3, the last"),
        ("bait worked", "R2 1:10-1:00"),
        ("jabs landed", "R2 1:00 (bell inferred)"),
        ("gloves", ""),
    ],
)
def test_the_place_in_the_bout(library: Library, name: str, place: str) -> None:
    assert hits_of(library, since="2029-01-01")[name].where_in_bout == place


def test_the_lists_to_paste_under_a_recording(library: Library) -> None:
    hits = hits_of(library, since="2029-01-01")
    pasted = ("referee", "outside landed", "bait worked", "", "speech")
    assert list(timestamp_lists(hits[name] for name in pasted)) == [
        "Corvale v Brandaal",
        "0:20 Corvale plants the lead foot outside and the left hand follows.",
        "8:30 The referee raises an arm, they embrace.",
        "",
        "Corvale v Brandaal, breakdown",
        "0:15 So Corvale takes the outside foot position. And the left hand goes straight in.",
        "",
    ]
