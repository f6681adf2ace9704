"""Links against the W3C Recommendation "Media Fragments URI 1.0 (basic)", 25 September 2012.

`temporal` reads a fragment by section 4.2.1 (temporal dimension, normal play time) and 5.1.1 (name-value pairs), and is
itself held to cases of the working group's "Media Fragments Test Cases" for user agents (TC0001 to TC0095), whose
numbers are kept. The grammar in short:

    npt-sec = 1*DIGIT [ "." *DIGIT ]     npt-mmss = npt-mm ":" npt-ss     npt-hhmmss = 1*DIGIT ":" npt-mm ":" npt-ss
    npttimedef = [ "npt:" ] ( npttime [ "," npttime ] ) / ( "," npttime )     npt-mm, npt-ss = 2DIGIT, 00 to 59
"""

from __future__ import annotations

import re
from fractions import Fraction
from urllib.parse import unquote, urlsplit

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fightnotes.library import open_library
from fightnotes.model import Recording
from fightnotes.model.moment import media_link
from tests.conftest import MakeLibrary

_SECONDS = r"[0-9]+(?:\.[0-9]*)?"
_SIXTY = r"[0-5][0-9]"
_NPT = rf"(?:(?:[0-9]+:)?{_SIXTY}:{_SIXTY}(?:\.[0-9]*)?|{_SECONDS})"
_DEFINITION = re.compile(rf"(?:npt:)?(?:(?P<begin>{_NPT})(?:,(?P<end>{_NPT}))?|,(?P<only_end>{_NPT}))")

Interval = tuple[Fraction | None, Fraction | None]


def temporal(fragment: str) -> Interval | None:
    """Begin and end in seconds of a URI's fragment; None where it names no valid one. The last valid one counts."""
    found: Interval | None = None
    for pair in fragment.split("&"):
        name, equals, value = pair.partition("=")
        if not equals or unquote(name) != "t":
            continue
        match = _DEFINITION.fullmatch(unquote(value))
        if match:
            begin, end = _value(match["begin"]), _value(match["end"] or match["only_end"])
            if end is None or (begin or 0) < end:
                found = begin, end
    return found


def _value(npt: str | None) -> Fraction | None:
    if npt is None:
        return None
    value = Fraction(0)
    for part in npt.split(":"):
        value = value * 60 + Fraction(part.removesuffix("."))
    return value


@pytest.mark.parametrize(
    ("number", "fragment", "interval"),
    [
        ("TC0001", "t=,", None),
        ("TC0002", "t=3,3", None),
        ("TC0003", "t=7,3", None),
        ("TC0005", "t=3,7", (3, 7)),
        ("TC0011", "t=3", (3, None)),
        ("TC0012", "t=3,", None),
        ("TC0015", "t=,7", (None, 7)),
        ("TC0024", "t=npt:3,7", (3, 7)),
        ("TC0027", "t=banana", None),
        ("TC0031", "t=3-7", None),
        ("TC0032", "t=3:7", None),
        ("TC0034", "t%3D3", None),
        ("TC0035", "%74=3", (3, None)),
        ("TC0037", "t=3%2C7", (3, 7)),
        ("TC0044", "t=-1,3", None),
        ("TC0055", "t=7&t=3", (3, None)),
        ("TC0058", "T=3,7", None),
        ("TC0063", "t=.0", None),
        ("TC0070", "t=1e-1", None),
        ("TC0072", "t=3.", (3, None)),
        ("TC0073", "t=0:0:0", None),
        ("TC0074", "t=0:00:60", None),
        ("TC0079", "t=3,00:00:07", (3, 7)),
        ("TC0085", "t=3,7&t=foo", (3, 7)),
        ("TC0094", "t=3,7,", None),
        ("TC0095", "t=0:00:03,0:00:07", (3, 7)),
    ],
)
def test_the_reader_passes_the_working_groups_cases(
    number: str, fragment: str, interval: tuple[int | None, int | None] | None
) -> None:
    assert temporal(fragment) == interval, number


def test_the_recommendations_own_example() -> None:
    """Its introduction links `video.ogv#t=10,20`."""
    recording = Recording(file="video.ogv")
    assert media_link(recording, Fraction(10), Fraction(20)) == "video.ogv#t=10,20"


TIMES = st.fractions(min_value=0, max_value=360_000, max_denominator=60_000)


@given(TIMES, st.none() | TIMES)
def test_every_link_is_valid_and_right_to_a_millisecond(start: Fraction, end: Fraction | None) -> None:
    link = media_link(Recording(file="a.mp4"), start, end) or ""
    interval = temporal(urlsplit(link).fragment)
    assert interval is not None
    begin, stop = interval
    assert begin is not None
    assert abs(begin - start) <= Fraction(1, 1000)
    if stop is not None:
        assert end is not None
        assert abs(stop - end) <= Fraction(1, 1000)
    else:
        assert end is None or end - start <= Fraction(1, 1000)


BOUT = """\
---
bout: a
media: {file: "clips/50% & more #1.mp4", rate: 30000/1001, drop_frame: true}
---
- 0:10-0:20 Left hand.
- 0:30 Left hand again.
- 00:00:50;02 Left hand once more.
- 1:00-1:00 Left hand at last.
"""


def test_links_of_hits(make_library: MakeLibrary) -> None:
    library = open_library(make_library({"bouts/a.md": BOUT}))
    library.build()
    hits = library.find("left hand").hits
    assert len(hits) == 4
    for hit in hits:
        assert hit.link is not None
        link = urlsplit(hit.link)
        assert unquote(link.path) == "clips/50% & more #1.mp4"
        interval = temporal(link.fragment)
        assert interval is not None
        begin, end = interval
        assert begin is not None
        assert hit.segment.start is not None
        assert abs(begin - hit.segment.start) <= Fraction(1, 1000)
        assert end is None or (hit.segment.end is not None and abs(end - hit.segment.end) <= Fraction(1, 1000))
