"""Filters: each alone, together, and with names that the library does not know."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from fightnotes.errors import UnknownName
from fightnotes.library import Library
from fightnotes.search.filters import Filters
from tests.conftest import RunCommand
from tests.search.conftest import Passing
from tests.search.samples import NAMES

JUNE = datetime.date(2030, 6, 1)


def _named(value: object) -> str:
    """A set's order differs from one process to the next; the name of a test must not."""
    return ", ".join(sorted(value)) if isinstance(value, set) else str(value)


OUTSIDE = {"outside landed", "outside missed", "outside, dv"}


@pytest.mark.parametrize(
    ("filters", "expected"),
    [
        ({"by": ["kazehori"]}, {"bait taken"}),
        ({"by": ["風堀 澪"]}, {"bait taken"}),
        ({"by": ["NICOLAS ITURBENA"]}, {"jab to the body"}),
        ({"by": ["kazehori", "iturbena"]}, {"bait taken", "jab to the body"}),
        ({"on": ["Corvale"]}, {"bait taken", "bait refused"}),
        ({"on": ["Corvale"], "written": True}, {"bait taken"}),
        ({"fighter": ["iturbena"]}, {"jab to the body", "bait worked"}),
        ({"corner": "red", "bout": ["brandaal-iturbena-2030"]}, {"bait worked"}),
        ({"corner": "blue", "by": ["corvale"]}, {"jabs landed"}),
        ({"pairing": "closed", "tags": ["jab"]}, {"jab to the body", "jabs landed"}),
        ({"pairing": "open", "tags": ["jab"]}, set()),
        ({"tags": ["outside-step"]}, OUTSIDE),
        ({"tags": ["#Outside Foot Position"]}, OUTSIDE),
        ({"tags": ["footwork"]}, OUTSIDE | {"pivot", "feet, dv"}),
        ({"tags": ["footwork"], "alone": True}, {"feet, dv"}),
        ({"tags": ["clinch"]}, {"clinch"}),
        ({"tags": ["body-hook", "over-the-top-counter"]}, {"hook and counter"}),
        ({"tags": ["outside-step", "pivot"]}, set()),
        ({"outcome": ["blocked"]}, {"hook and counter"}),
        ({"outcome": ["Ignored", "missed"]}, {"bait refused", "outside missed", "jab to the body"}),
        ({"target": ["body"]}, {"hook and counter", "jab to the body"}),
        ({"rounds": (2, 3), "bout": ["corvale-brandaal-2031"]},
         {"pivot", "expected jab", "feet, dv", "outside missed", "referee"}),
        ({"rounds": (1, 1), "kind": "transcript"}, {"speech"}),
        ({"bout": ["kazehori-corvale-2029"]}, {"bait taken", "jabs landed", "clinch"}),
        ({"analyst": ["DV"], "tags": ["outside-step"]}, {"outside, dv"}),
        ({"since": datetime.date(2030, 6, 2), "tags": ["open-guard-bait"]}, {"bait refused"}),
        ({"until": JUNE, "tags": ["open-guard-bait"]}, {"bait taken", "bait worked"}),
        ({"since": JUNE, "until": JUNE}, {"jab to the body", "bait worked"}),
        ({"kind": "transcript"}, {"speech", "gloves"}),
        ({"kind": "note", "tags": ["clinch"]}, {"clinch"}),
    ],
    ids=_named,
)  # fmt: skip
def test_what_a_filter_lets_through(passing: Passing, filters: dict[str, object], expected: set[str]) -> None:
    assert passing(**filters) == expected


@pytest.mark.parametrize(
    ("filters", "passes"),
    [
        ({"tags": ["body-hook"], "by": ["corvale"]}, True),
        ({"tags": ["body-hook"], "by": ["brandaal"]}, False),
        ({"tags": ["over-the-top-counter"], "by": ["brandaal"], "outcome": ["landed"]}, True),
        ({"tags": ["over-the-top-counter"], "outcome": ["blocked"]}, False),
        ({"tags": ["over-the-top-counter"], "target": ["body"]}, False),
        ({"by": ["corvale"], "outcome": ["landed"], "target": ["head"]}, False),
        ({"tags": ["body-hook"], "corner": "red"}, True),
        ({"tags": ["body-hook"], "corner": "blue"}, False),
    ],
    ids=_named,
)
def test_a_tags_own_fields_hold_together_with_their_tag(
    passing: Passing, filters: dict[str, object], passes: bool
) -> None:
    """One note has a hook of one fighter, blocked, and a counter of the other, landed."""
    assert ("hook and counter" in passing(**filters)) is passes


def test_filters_hold_for_what_a_query_finds(library: Library) -> None:
    hits = library.find("lead foot outside", Filters(outcome=("missed",)), limit=100).hits
    assert {NAMES[hit.place] for hit in hits} <= {"outside missed", "jab to the body"}
    assert NAMES[hits[0].place] == "outside missed"


def test_a_filter_that_nothing_passes(library: Library) -> None:
    found = library.find("", Filters(tags=("pivot",), rounds=(3, 3)))
    assert not found.hits
    assert found.notices == (
        "2 such moments without --tag",
        "1 such moment without --round",
        "19 such moments without any filter",
    )
    assert not library.find("lead foot", Filters(tags=("pivot",), rounds=(3, 3))).hits


def test_listed_moments_stand_in_the_order_of_bouts_and_time(library: Library) -> None:
    hits = library.find("", Filters(tags=("open-guard-bait",)), limit=100).hits
    assert [NAMES[hit.place] for hit in hits] == ["bait taken", "bait worked", "bait refused"]
    assert all(hit.why.meaning is None for hit in hits)


@pytest.mark.parametrize(
    ("option", "value", "nearest"),
    [
        ("--by", "corvail", "corvale"),
        ("--on", "brandal", "brandaal"),
        ("--fighter", "kazehory", "kazehori"),
        ("--tag", "outside-stepp", "outside step"),
        ("--outcome", "landet", "landed"),
        ("--target", "boddy", "body"),
        ("--bout", "corvale-brandaal-2032", "corvale-brandaal-2031"),
        ("--analyst", "mkk", "mk"),
    ],
)
def test_an_unknown_name_is_wrong_usage_and_the_nearest_is_offered(
    root: Path, fightnotes: RunCommand, option: str, value: str, nearest: str
) -> None:
    result = fightnotes("find", "jab", option, value, "--library", root)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert f"'{value}'" in result.stderr
    assert nearest in result.stderr.partition("near it: ")[2]


@pytest.mark.parametrize("half", ["--by", "--tag", "--bout", "--analyst", "--outcome"])
def test_broken_bytes_of_a_shell_are_an_unknown_name(root: Path, fightnotes: RunCommand, half: str) -> None:
    result = fightnotes("find", "jab", half, "\udcff", "--library", root)
    assert result.exit_code == 2


def test_an_unknown_name_is_told_even_where_nothing_is_asked(library: Library) -> None:
    with pytest.raises(UnknownName, match="fighter 'nobody'"):
        library.find("", Filters(by=("nobody",)))
