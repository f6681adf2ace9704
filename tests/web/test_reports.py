"""Counts, answers, sheets and the audit on the page: the numbers are the library's, and lead to the moments counted."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from urllib.parse import parse_qsl, urlsplit

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient

from fightnotes import Filters
from fightnotes.library import Library, open_library
from fightnotes.tally.chains import Sequences
from fightnotes.tally.compare import SideName
from fightnotes.tally.tally import Tally
from fightnotes.web.app import make_app
from tests.briefing.samples import costing, front, library
from tests.tally.conftest import built
from tests.web.conftest import ADDRESS, Served, faults_for_readers, served

EVIL = "<script>alert(1)</script> \u202e “it's” #jab"
EVIL_TITLE = "<i>evil</i>"
TIMES = [f"{2 - place // 60}:{59 - place % 60:02}" for place in range(0, 40, 5)]
HOSTILE = (
    front("evil", 3, blue="<b>Marvane</b>").replace("title: Quell v <b>Marvane</b>", f"title: '{EVIL_TITLE}'")
    + "".join(f"- R1 {time} {EVIL} by:quell outcome:landed\n" for time in TIMES)
    + "- R2 1:00 Nothing is called so. #<b>whirl #whirl\n"
)


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Iterator[Served]:
    """A bout whose figures are known, and one whose words would be HTML."""
    files = library(costly=costing(), evil=HOSTILE)
    root = built(tmp_path_factory.mktemp("told"), small_model, files)
    with served(root) as running:
        yield running


@pytest.fixture(scope="module")
def client(told: Served) -> Iterator[TestClient]:
    with TestClient(make_app(told.kept), base_url=ADDRESS) as opened:
        yield opened


@pytest.fixture(scope="module")
def counted(told: Served) -> Library:
    return open_library(told.root)


def text_of(client: TestClient, path: str, status: int = 200) -> str:
    answer = client.get(path)
    assert answer.status_code == status, answer.text
    return answer.text


def links(page: str, begin: str) -> list[tuple[str, str]]:
    """Address and words of the links that begin so."""
    found = re.findall(rf'<a href="({re.escape(begin)}[^"]*)">([^<]*)</a>', page)
    return [(unescape(address), words) for address, words in found]


def moments_of(page: str) -> list[str]:
    """The places of the moments that a page lists, in turn, without other notes of them."""
    addresses = re.findall(r'<a (?:class="when" )?href="(/moment\?at=[^"]*)"', page)
    return [dict(parse_qsl(urlsplit(unescape(address)).query))["at"] for address in addresses]


@pytest.mark.parametrize("columns", ["", "round", "fighter"])
def test_every_count_of_a_tally_leads_to_as_many_acts(client: TestClient, counted: Library, columns: str) -> None:
    page = text_of(client, f"/tally?rows=concept&columns={columns}&by=&round=")
    told = counted.tally("concept", columns or None)  # type: ignore[arg-type]
    figures = [figures for _, row in told.lines() for figures in row]
    opened = links(page, "/tally/moments?")
    assert [words for _, words in opened] == [str(each.count) for each in figures if each.count]
    for address, _ in opened[:3] + opened[-2:]:
        asked = dict(parse_qsl(urlsplit(address).query))
        hits = counted.counted_moments(told, asked.get("row"), asked.get("column"))
        assert moments_of(text_of(client, address)) == [hit.place for hit in hits]


def test_rates_and_success_of_a_tally_are_those_of_the_library(client: TestClient, counted: Library) -> None:
    page = text_of(client, "/tally?rows=concept&by=quell")
    told = counted.tally("concept", filters=Filters(by=("quell",)))
    for row in told.row_values:
        figures = told.figures(row)
        for words in (figures.per_round, figures.per_minute, figures.success_said):
            assert f"<td>{words or '–'}</td>" in page
    assert str(told.basis.coverage) in page
    assert all(notice in unescape(page) for notice in told.notices)
    assert '<svg role="img"' in page


@pytest.mark.parametrize("asked", ["tally?rows=concept&by=quell&show=success", "follow?ask=1&concept=inside-step"])
def test_a_picture_says_once_what_was_looked_at_and_can_be_kept(
    client: TestClient, counted: Library, asked: str
) -> None:
    """The PNG signature: W3C PNG (third edition), 5.2."""
    page = text_of(client, f"/{asked}")
    path, _, query = asked.partition("?")
    found: Tally | Sequences
    if path == "tally":
        found = counted.tally("concept", filters=Filters(by=("quell",)))
    else:
        found = counted.follow("inside-step")
    coverage = str(found.basis.coverage)
    assert page.count(coverage) == 1
    files = re.findall(r'<a href="([^"]*)" download>(\w+)</a>', page)
    assert [(unescape(address), kind) for address, kind in files] == [
        (f"/{path}/picture/{kind}?{query}", kind) for kind in ("svg", "png")
    ]
    svg = client.get(f"/{path}/picture/svg?{query}")
    assert svg.content == counted.picture_as(found, ".svg", "success")
    assert coverage in svg.text
    assert (svg.headers["content-type"], svg.headers["content-disposition"]) == (
        "image/svg+xml", 'attachment; filename="picture.svg"',
    )  # fmt: skip
    assert client.get(f"/{path}/picture/png?{query}").content.startswith(b"\x89PNG\r\n\x1a\n")
    assert client.get(f"/{path}/picture/exe?{query}").status_code == 400
    assert client.get(f"/{path}/picture/svg").status_code == 400


def test_a_trend_is_said_in_the_words_of_the_library(client: TestClient, counted: Library) -> None:
    page = text_of(client, "/tally?rows=concept&columns=round&trend=1&tag=counter")
    (told,) = counted.tally("concept", "round", Filters(tags=("counter",)), trend="per-round").trends
    assert told.words.startswith("from about")
    assert f"<td>{told.words}</td>" in page
    assert f"<td>{told.change}</td><td>{unescape(told.p_said)}</td>" in unescape(page)


def test_every_count_of_a_comparison_leads_to_its_moments(client: TestClient, counted: Library) -> None:
    page = text_of(client, "/compare?side=quell&side=marvane&bout=costly")
    told = counted.compare("quell", "marvane", filters=Filters(bout=("costly",)))
    sides: tuple[SideName, ...] = ("first", "second")
    shown = [(each.called, side, getattr(each, side).count) for each in told.told for side in sides]
    shown = [(concept, side, count) for concept, side, count in shown if count]
    opened = links(page, "/compare/moments?")
    assert [words for _, words in opened] == [str(count) for _, _, count in shown]
    for (address, _), (concept, side, _) in zip(opened, shown, strict=True):
        hits = counted.compared_moments(told, concept, side)
        assert moments_of(text_of(client, address)) == [hit.place for hit in hits]
    assert all(line in unescape(page) for line in told.below)


def test_a_chain_has_its_count_and_every_run(client: TestClient, counted: Library) -> None:
    page = text_of(client, "/follow?ask=1&concept=inside-step&concept=counter&within=5")
    (chain,) = counted.follow("inside-step", "counter", within=5).found
    assert chain.following.count == 15
    assert f'<a href="#chain-1">{chain.following.count}</a> of {chain.following.of}' in page
    assert f"<td>{chain.following.by_chance}</td><td>{chain.following.lift}</td>" in page
    assert len(moments_of(page)) == 2 * chain.following.count


def test_an_answer_has_every_sentence_with_links_to_its_moments(client: TestClient, counted: Library) -> None:
    page = text_of(client, "/answer?q=does+the+inside+step+work&by=quell")
    told = counted.answer("does the inside step work", Filters(by=("quell",)))
    assert told.kind != "unread"
    assert told.says in unescape(page)
    assert told.sentences
    assert all(sentence.text in unescape(page) for sentence in told.sentences)
    _, moments = told.numbered()
    assert {hit.place for hit in moments} == {hit.place for one in told.sentences for hit in one.moments}
    assert moments_of(page) == [hit.place for hit in moments]
    assert set(re.findall(r'href="#(m\d+)"', page)) <= set(re.findall(r'id="(m\d+)"', page))


def test_a_sheet_is_that_of_the_file(client: TestClient, counted: Library) -> None:
    page = text_of(client, "/sheet?first=quell&second=marvane&bout=costly")
    sheet = counted.sheet("quell", "marvane", Filters(bout=("costly",)))
    for kind in ("html", "md", "json"):
        (address,) = re.findall(rf'href="(/sheet/{kind}[^"]*)" download', page)
        file = client.get(unescape(address))
        assert file.headers["content-disposition"] == f'attachment; filename="sheet.{kind}"'
        assert file.text == counted.sheet_as(sheet, f".{kind}")
    assert json.loads(counted.sheet_as(sheet, ".json"))["title"] == sheet.title
    said = re.findall(r"<dd>([^<]*)", counted.sheet_html(sheet))
    assert said
    assert re.findall(r"<dd>([^<]*)", page) == said
    assert all(at in counted.sheet_html(sheet) for at in moments_of(page))
    assert client.get("/sheet/exe?first=quell&second=marvane").status_code == 400


def test_the_audit_is_asked_for_and_leads_to_the_notes(client: TestClient, counted: Library) -> None:
    assert "<h2>Findings</h2>" not in text_of(client, "/audit")
    page = text_of(client, "/audit?run=1")
    report = counted.audit()
    assert report.findings
    assert len(re.findall('class="finding"', page)) == len(report.findings)
    unknown = next(one for one in report.findings if one.rule == "unknown-tag")
    assert unknown.place.shown in moments_of(page)
    alone = text_of(client, "/audit?run=1&rule=unknown-tag&severity=")
    assert len(re.findall('class="finding"', alone)) == sum(one.rule == "unknown-tag" for one in report.findings)
    file = client.get("/audit/html")
    assert file.text == counted.audit_html(counted.audit(with_agreement=True))


@pytest.mark.parametrize(
    ("path", "says", "kept"),
    [
        ("/tally?rows=moon", "found 'moon'", 'name="show"'),
        ("/tally?rows=concept&columns=concept", "rows and columns are the same", 'value="concept" selected'),
        ("/tally?rows=concept&by=nobody", "'nobody'", 'name="by" value="nobody"'),
        ("/tally?rows=concept&trend=1", "a trend goes over rounds", 'value="concept" selected'),
        ("/compare?side=quell", "name two fighters", 'name="side" value="quell"'),
        ("/follow?ask=1&concept=moon", "'moon'", 'name="concept" value="moon"'),
        ("/follow?ask=1&within=nan", "give seconds", 'value="nan"'),
        ("/answer?q=does+it+work&outcome=landed", "weighs every outcome", 'value="does it work"'),
        ("/sheet?first=quell", "name both fighters", 'name="first" value="quell"'),
        ("/audit?rule=moon&run=1", "found 'moon'", 'value="moon" selected'),
    ],
)
def test_what_is_asked_wrongly_is_said_beside_the_form(client: TestClient, path: str, says: str, kept: str) -> None:
    page = unescape(text_of(client, path, 400))
    (fault,) = re.findall(r'<p id="fault"[^>]*>([^<]*)</p>', page)
    assert says in fault
    assert kept in page


@pytest.mark.parametrize("path", ["/tally/moments", "/compare/moments?side=quell&side=marvane", "/sheet/md"])
def test_a_link_that_lacks_what_it_is_about(client: TestClient, path: str) -> None:
    assert client.get(path).status_code == 400


@pytest.mark.parametrize(
    "path",
    [
        "/tally?rows=concept&columns=bout",
        "/tally/moments?rows=concept&row=jab",
        "/compare?side=costly&side=evil",
        "/follow?ask=1",
        "/answer?q=does+the+jab+work",
        "/answer?q=%3Cscript%3Ewhat",
        "/sheet?first=quell&second=marvane",
        "/audit?run=1&agreement=1",
    ],
)
def test_text_of_files_and_links_stays_text(client: TestClient, path: str) -> None:
    page = text_of(client, path)
    assert not re.search("<script>|<i>|<b>|\u202e", page)
    assert re.search("&lt;(script|i|b)&gt;|jab", page)


def test_to_be_read_on_a_telephone(told: Served, tab: Page) -> None:
    """The page itself never scrolls sideways, its tables do within their box; a chain's number opens its moments."""
    tab.set_viewport_size({"width": 390, "height": 844})
    for path in ("/tally?rows=concept&columns=round&show=per-round&trend=1", "/audit?run=1&agreement=1"):
        tab.goto(told.address + path)
        assert tab.evaluate("document.documentElement.scrollWidth") == 390
        assert faults_for_readers(tab) == []
    tab.goto(told.address + "/tally?rows=concept&columns=round&show=per-round")
    assert tab.locator(".scroll").first.evaluate("box => box.scrollWidth > box.clientWidth")
    tab.goto(told.address + "/follow?ask=1")
    assert not tab.locator("#chain-1").is_visible()
    tab.locator('a[href="#chain-1"]').click()
    expect(tab.locator("#chain-1")).to_be_visible()
