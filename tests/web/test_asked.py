"""What is asked goes into a link and comes out of it as it was."""

from __future__ import annotations

import datetime
from urllib.parse import urlsplit

import pytest
from hypothesis import given
from hypothesis import strategies as st
from starlette.datastructures import FormData, QueryParams

from fightnotes import Filters
from fightnotes.errors import UsageError
from fightnotes.web.asked import MOST, Asked, asked_in, filter_parameters, filters_in

EVERYTHING = Asked(
    query="“lead foot” outside & then? #jab 100%",
    filters=Filters(
        by=("corvale", "José Ñandú"), on=("brandaal",), fighter=("A & B",), corner="red", pairing="open",
        tags=("jab", "outside step"), alone=True, outcome=("landed", "missed"), target=("body",), rounds=(2, 4),
        bout=("a-b-2031",), analyst=("mk", "ro"), since=datetime.date(2031, 3, 8), until=datetime.date(2032, 1, 1),
        kind="transcript", written=True,
    ),
    like=("bouts/a.md:12", "bouts/b c.md:3"), unlike=("bouts/a.md:14",), limit=40, spread=True,
)  # fmt: skip


def read(link: str) -> Asked:
    return asked_in(QueryParams(urlsplit(link).query))


def test_every_filter_comes_back() -> None:
    assert all(getattr(EVERYTHING.filters, field) != getattr(Filters(), field) for field in Filters.model_fields)
    assert read(EVERYTHING.link()) == EVERYTHING
    assert filters_in(FormData(filter_parameters(EVERYTHING.filters))) == EVERYTHING.filters


@pytest.mark.parametrize("field", Filters.model_fields)
def test_each_filter_comes_back_alone(field: str) -> None:
    alone = Asked(filters=Filters(**{field: getattr(EVERYTHING.filters, field)}))
    assert read(alone.link()) == alone
    assert alone.anything


texts = st.text(st.characters(exclude_categories=["Cs"]), min_size=1).map(str.strip).filter(bool)


@given(query=texts, names=st.lists(texts, max_size=3), first=st.integers(1, 99), more=st.integers(0, 99))
def test_any_text_comes_back(query: str, names: list[str], first: int, more: int) -> None:
    asked = Asked(query=query, filters=Filters(by=tuple(names), rounds=(first, first + more)))
    assert read(asked.link("/tally")) == asked


def test_nothing_asked_is_a_bare_link() -> None:
    assert Asked().link() == "/"
    assert not Asked(limit=40, spread=True).anything


def test_a_link_asks_the_same_but_for_what_is_changed() -> None:
    assert read(EVERYTHING.link("/cuts", limit=60)) == EVERYTHING.model_copy(update={"limit": 60})


def test_empty_controls_of_a_form_ask_nothing() -> None:
    sent = "q=jab&by=&by=corvale&on=+&corner=&round=&since=&kind=&like=&limit="
    assert asked_in(QueryParams(sent)) == Asked(query="jab", filters=Filters(by=("corvale",)))


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ("corner=green", "corner: found 'green', expected red or blue"),
        ("pairing=shut", "pairing: found 'shut', expected open, closed or unknown"),
        ("kind=notes", "kind: found 'notes', expected note or transcript"),
        ("round=4-2", "round: found '4-2', expected a round"),
        ("round=" + "9" * 5000, "expected a round"),
        ("since=8.3.2031", "since: found '8.3.2031', expected a day, such as 2031-03-08"),
        ("until=2031-02-30", "until: found '2031-02-30'"),
        ("limit=0", f"limit: found '0', expected a number from 1 to {MOST}"),
        (f"limit={MOST + 1}", "limit: found"),
        ("limit=²", "limit: found"),
    ],
)
def test_what_cannot_be_read_is_said(sent: str, said: str) -> None:
    with pytest.raises(UsageError, match=said):
        asked_in(QueryParams(sent))
