"""What the names of files say, and which file belongs to which bout."""

from __future__ import annotations

import datetime

import pytest

from fightnotes.reading.dates import find_date
from fightnotes.starting.encodings import text_of_bytes
from fightnotes.starting.matching import Known
from fightnotes.starting.names import facts_of_file, facts_of_name


@pytest.mark.parametrize(
    ("name", "day", "sides", "sure"),
    [
        ("2031-03-08 Corvale v Brandaal", "2031-03-08", ("Corvale", "Brandaal"), True),
        ("20310308_corvale_vs_brandaal", "2031-03-08", ("Corvale", "Brandaal"), False),
        ("CORVALE VS BRANDAAL", None, ("Corvale", "Brandaal"), True),
        ("corvale-vs-brandaal-2031", None, ("Corvale", "Brandaal"), False),
        (
            "Ines Corvale (southpaw) vs. Rika Brandaal, 8 March 2031",
            "2031-03-08",
            ("Ines Corvale", "Rika Brandaal"),
            True,
        ),
        (
            "Harbour Night 12 - Marta van der Berg v Ló Ézst (second look)",
            None,
            ("Marta van der Berg", "Ló Ézst"),
            True,
        ),
        ("notes Corvale v Brandaal II", None, ("Corvale", "Brandaal"), True),
        ("J. Varga v M. Varga", None, ("J. Varga", "M. Varga"), True),
        ("corvale-brandaal-2031", None, None, False),
        ("Corvale against southpaws", None, None, False),
        ("footwork v2", None, None, False),
        ("1 v 1", None, None, False),
    ],
)
def test_days_and_fighters_in_names(name: str, day: str | None, sides: tuple[str, str] | None, sure: bool) -> None:
    facts = facts_of_name(name)
    assert (facts.date and facts.date.isoformat(), facts.sides, facts.sure) == (day, sides, sure)


def test_a_decomposed_name_is_the_composed_one() -> None:
    """As file systems of Apple give them (Unicode normalisation form D)."""
    assert facts_of_name("Ango\u0308m v Ló").sides == ("Angöm", "Ló")


def test_a_folder_says_what_its_file_does_not() -> None:
    assert facts_of_file("2026-06-20 Orzhelian v Umoreke/Round 1.md").sides == ("Orzhelian", "Umoreke")
    assert facts_of_file("2031-03-08/Corvale v Brandaal.md").date == datetime.date(2031, 3, 8)


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("seen on 8 March 2031, twice", ("2031-03-08",)),
        ("03_20_2031", ("2031-03-20",)),
        ("on 8.3.2031", ("2031-03-08", "2031-08-03")),
        ("2031-02-30 or 2031-03-01", ("2031-03-01",)),
        ("call 120310308 now", None),
        ("part 2 of 3", None),
    ],
)
def test_dates_in_texts(text: str, days: tuple[str, ...] | None) -> None:
    found = find_date(text)
    assert (found and tuple(sorted(day.isoformat() for day in found.days))) == days


@pytest.mark.parametrize(
    ("name", "bouts"),
    [
        ("2031-03-08 Brandaal vs Corvale", [0]),  # the same day and people
        ("2031-03-08 Corvale v Brandaal talk", [0]),
        ("Corvale v Brandaal (second look)", [0, 1]),  # of either day
        ("2030-01-01 Corvale v Brandaal", []),
        ("umoreke kazehori breakdown", [2]),
        ("Umoreke v Kazehori II", []),  # another of the same two, perhaps
        ("notes", []),
    ],
)
def test_which_bout_a_name_means(name: str, bouts: list[int]) -> None:
    known = Known()
    for number, file in enumerate(
        ("2031-03-08 Corvale v Brandaal", "2033-05-01 Corvale v Brandaal", "Umoreke v Kazehori", "notes")
    ):
        facts = facts_of_name(file)
        known.add(number, [facts], facts.sides, facts.date)
    assert known.of(facts_of_name(name)) == bouts


@pytest.mark.parametrize(
    ("raw", "encoding"),
    [
        ("4:52 café".encode(), "UTF-8"),
        ("4:52 café".encode("utf-8-sig"), "UTF-8"),
        ("4:52 café".encode("utf-16"), "UTF-16"),
        ("4:52 café, and on".encode("utf-16-le"), "UTF-16"),
        ("4:52 café, and on".encode("utf-16-be"), "UTF-16"),
        ("4:52 café – on".encode("cp1252"), "Windows-1252"),
        ("4:52 caf\x81é".encode("latin-1"), "Latin-1"),
        (b"", "UTF-8"),
    ],
)
def test_encodings(raw: bytes, encoding: str) -> None:
    found = text_of_bytes(raw)
    assert found is not None
    assert (found.encoding, found.text[:8]) == (encoding, "4:52 caf" if raw else "")


def test_what_no_text_is() -> None:
    assert text_of_bytes(bytes(range(256))) is None
    assert text_of_bytes(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR") is None
