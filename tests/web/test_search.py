"""The search page: what a link asks is answered, by bout; in a browser it answers while one types."""

from __future__ import annotations

import re
import threading
from concurrent.futures import ThreadPoolExecutor
from html import unescape
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import httpx2
import pytest
from playwright.sync_api import Browser, Page, Route, expect
from starlette.testclient import TestClient

from fightnotes import Filters
from fightnotes.library import open_library
from fightnotes.web.asked import name_of
from tests.conftest import MakeLibrary
from tests.web.conftest import OpenClient, Served

EVIL = "<script>alert(1)</script>"
EVIL_NOTE = f"""---
bout: a
title: "{EVIL} v 'Kest'"
red: {{name: "{EVIL} Lorn", id: lorn}}
blue: {{name: Bo Kest}}
analyst: '"><b>mk'
---
- 0:10 she jabs `{EVIL}` and the right hand & more #jab by:lorn
- 0:40 \u202elead hook
"""
ASKED = "q=bait+with+the+open+guard"


def tab_to(selector: str, tab: Page) -> None:
    """Goes to a control as a keyboard does; it must be seen that it is there."""
    for _ in range(20):
        tab.keyboard.press("Tab")
        if tab.evaluate("(selector) => document.activeElement.matches(selector)", selector):
            assert tab.evaluate("document.activeElement.matches(':focus-visible')")
            return
    raise AssertionError(f"no key leads to {selector}")


def places(page: str) -> tuple[str, ...]:
    """Where the hits of a page lead, in their order."""
    return tuple(re.findall(r'href="(/moment\?[^"]+)"', page))


def shown(page: str) -> str:
    """What a person reads of a page."""
    return unescape(" ".join(re.sub(r"<[^>]+>", " ", page).split()))


def test_fifty_clients_at_once_are_each_answered(demo_served: Served) -> None:
    """Each with a connection of its own, and one query that nobody else asks."""
    together = threading.Barrier(50)

    def ask(number: int) -> tuple[int, tuple[str, ...]]:
        with httpx2.Client(base_url=demo_served.address, timeout=300) as client:
            together.wait()
            answers = [client.get("/", params={"q": query}) for query in (f"jab at second {number}", "jab")]
        assert f'value="jab at second {number}"' in answers[0].text
        assert all('<li value="1" id="hit-1">' in answer.text for answer in answers)
        return [answer.status_code for answer in answers].count(200), places(answers[1].text)

    with ThreadPoolExecutor(50) as pool:
        answered = list(pool.map(ask, range(50)))
    assert [fine for fine, _ in answered] == [2] * 50
    assert {found for _, found in answered} == {answered[0][1]}


def test_hits_stand_by_bout_in_the_order_of_their_best(demo_client: TestClient, demo: Path) -> None:
    found = open_library(demo).find("bait with the open guard")
    answer = demo_client.get(f"/?{ASKED}").text
    assert [int(rank) for rank in re.findall(r'<li value="(\d+)"', answer)] == [
        rank for _, ranked in found.by_bout for rank, _ in ranked
    ]
    assert re.findall(r'<h2><a href="/bout\?id=([^"]+)', answer) == [bout.id for bout, _ in found.by_bout]
    assert len(found.by_bout) > 1
    for hit in found.hits:
        assert hit.place in answer
        assert hit.where_in_bout in shown(answer)


def test_what_find_tells_of_a_hit_is_there(demo_client: TestClient, demo: Path) -> None:
    found = open_library(demo).find("bait with the open guard", limit=100)
    answer = shown(demo_client.get(f"/?{ASKED}&limit=100").text)
    told = [
        [twin.place for hit in found.hits for twin in hit.same_moment],
        [each for hit in found.hits for each in hit.inferred],
        [each for hit in found.hits for each in hit.repaired],
        [str(hit.why) for hit in found.hits],
        [hit.said_at for hit in found.hits if hit.said_at],
        [each for hit in found.hits for each in hit.written_fields],
    ]
    for kind in told:
        assert kind
        assert all(" ".join(each.split()) in answer for each in kind)


def test_words_that_were_met_are_marked(demo_client: TestClient) -> None:
    marked = re.findall(r"<mark>(.+?)</mark>", demo_client.get('/?q="lead foot"').text)
    assert marked
    assert {each.casefold() for each in marked} <= {"lead foot", "lead foot's"}


def test_the_whole_form_comes_back_filled(demo_client: TestClient) -> None:
    sent = {
        "q": "jab", "by": "corvale", "on": "brandaal", "fighter": "corvale", "corner": "red", "pairing": "open",
        "tag": "jab", "alone": "1", "outcome": "landed", "target": "head", "round": "1-4",
        "bout": "corvale-brandaal-2031", "analyst": "mk", "since": "2030-01-01", "until": "2032-01-01",
        "kind": "note", "written": "1",
        "like": "bouts/corvale-brandaal-2031.md:92", "unlike": "bouts/corvale-brandaal-2031.md:85", "limit": "5",
        "spread": "1",
    }  # fmt: skip
    assert {name_of(field) for field in Filters.model_fields} <= sent.keys()
    answer = demo_client.get("/", params=sent)
    assert answer.status_code == 200
    form = answer.text.partition("<form")[2].partition("</form>")[0]
    assert '<details class="narrow" open>' in form
    for name, value in sent.items():
        control = rf'name="{name}"[^>]* value="{re.escape(value)}"( list| autocomplete| checked|>)'
        chosen = rf'<select name="{name}">[^§]*?<option value="{value}" selected>'
        assert re.search(control, form) or re.search(chosen, form), name


@pytest.mark.parametrize(
    ("sent", "said", "kept"),
    [
        ("q=jab&by=nobody", "the library knows no fighter 'nobody'", 'name="by" value="nobody"'),
        ("q=jab&outcome=lended", "near it: landed", 'name="outcome" value="lended" checked'),
        ("corner=green", "expected red or blue", '<option value="green" selected>'),
        ("like=nowhere", "'nowhere' is no place of a note", 'name="like" value="nowhere"'),
        ("round=4-2", "expected a round, such as 3", 'name="round" type="text" value="4-2"'),
        ("limit=many", "expected a number from 1 to 500", 'value="many"'),
    ],
)
def test_what_is_asked_wrongly_is_said_with_the_form_as_it_was(
    demo_client: TestClient, sent: str, said: str, kept: str
) -> None:
    answer = demo_client.get(f"/?{sent}")
    assert answer.status_code == 400
    assert said in shown(answer.text.partition('id="said"')[2].partition("</p>")[0])
    assert kept in answer.text


def test_nothing_asked_says_what_can_be(demo_client: TestClient) -> None:
    answer = demo_client.get("/?q=&by=&limit=40")
    assert answer.status_code == 200
    assert "of 14 bouts can be asked" in shown(answer.text)
    label = re.search(r'<li><a href="(/\?q=[^"]+)', answer.text)
    assert label
    assert "<li value=" in demo_client.get(unescape(label[1])).text
    assert '<details class="narrow">' in answer.text


def test_more_of_a_long_answer(demo_client: TestClient) -> None:
    answer = demo_client.get("/?tag=cross").text
    more = re.search(r'<a id="more" href="([^"]+)">More moments', answer)
    assert more
    link = urlsplit(unescape(more[1]))
    assert parse_qs(link.query) == {"tag": ["cross"], "limit": ["40"]}
    longer = demo_client.get(f"/?{link.query}").text
    assert f'id="{link.fragment}"' in longer
    assert f'id="{link.fragment}"' not in answer
    everything = demo_client.get("/?tag=tie-up").text
    assert "More moments" not in everything


def test_more_like_a_hit(demo_client: TestClient, demo: Path) -> None:
    answer = demo_client.get(f"/?{ASKED}").text
    like = re.search(r'href="(/\?like=[^"]+)">more like this', answer)
    unlike = re.search(r'href="([^"]+)">less like this', answer)
    assert like
    assert unlike
    alike = demo_client.get(unescape(like[1])).text
    assert "<li value=" in alike
    start = open_library(demo).moment_at(parse_qs(urlsplit(unescape(like[1])).query)["like"][0])
    assert f"More like {start.bout.title}, {', '.join(start.where[1:])} : {start.quoted}" in shown(alike)
    assert parse_qs(urlsplit(unescape(unlike[1])).query).keys() == {"q", "unlike"}


def test_markup_in_notes_names_and_queries_is_text(make_library: MakeLibrary, open_client: OpenClient) -> None:
    client = open_client(make_library({"bouts/a.md": EVIL_NOTE}))
    for answer in (
        client.get("/", params={"q": f'jabs {EVIL} "right hand" by nobody'}),
        client.get("/", params={"by": EVIL, "corner": EVIL, "outcome": f'"{EVIL}', "like": EVIL, "tag": f"'{EVIL}"}),
        client.get("/", params={"q": "lead hook", "by": "lorn"}),
        client.get("/"),
    ):
        assert EVIL not in answer.text
        assert "<b>mk" not in answer.text
        assert "\u202e" not in answer.text
    found = client.get("/", params={"q": "jabs right hand"}).text
    assert "<mark>jabs</mark> &lt;script&gt;alert(1)" in found
    assert "\\u202elead hook" in client.get("/", params={"bout": "a"}).text


def test_typing_finds_and_the_link_can_be_kept(demo_served: Served, tab: Page) -> None:
    tab.goto(demo_served.address)
    tab_to("#q", tab)
    tab.keyboard.type("bait with the open guard")
    expect(tab.locator("#said")).to_contain_text(re.compile(r"^\s*\d+ moments in \d+ bouts"))
    expect(tab).to_have_url(f"{demo_served.address}/?{ASKED}")
    assert tab.evaluate("document.activeElement.id") == "q"
    hits = tab.locator(".hits li").count()
    tab.reload()
    assert tab.locator(".hits li").count() == hits > 0
    tab_to("form summary", tab)
    tab.keyboard.press("Enter")
    tab_to("[name=by]", tab)
    tab.keyboard.type("corvale")
    tab.keyboard.press("Enter")
    expect(tab).to_have_url(f"{demo_served.address}/?{ASKED}&by=corvale")
    expect(tab.locator("[name=by]")).to_have_count(2)
    tab.locator("[name=by]").first.fill("nobody")
    tab.keyboard.press("Enter")
    expect(tab.locator("#said")).to_contain_text("the library knows no fighter 'nobody'")
    expect(tab.locator("[name=by]").first).to_have_value("nobody")


def test_back_leads_to_what_was_read_and_not_to_what_was_passed_through(demo_served: Served, tab: Page) -> None:
    tab.clock.install(time=0)
    tab.goto(demo_served.address)
    tab.clock.pause_at(3600)
    for query in ("j", "jab", "jab misses"):
        tab.locator("#q").fill(query)
        tab.clock.run_for(300)
        expect(tab).to_have_url(f"{demo_served.address}/?q={query.replace(' ', '+')}")
    tab.clock.run_for(2100)
    tab.locator("#q").fill("clinch")
    tab.clock.run_for(300)
    expect(tab).to_have_url(f"{demo_served.address}/?q=clinch")
    tab.go_back()
    expect(tab.locator("#q")).to_have_value("jab misses")
    expect(tab).to_have_title(re.compile("^jab misses"))
    tab.go_back()
    expect(tab.locator("#q")).to_have_value("")
    expect(tab.locator("#answer")).to_contain_text("Noted most often")
    tab.go_forward()
    expect(tab.locator("#q")).to_have_value("jab misses")
    expect(tab.locator("#said")).to_contain_text("moments in")


def test_what_is_ticked_stays_ticked_while_one_types_on_and_asks_for_more(demo_served: Served, tab: Page) -> None:
    tab.goto(f"{demo_served.address}/?q=jab")
    ticks = tab.locator("input[form=add-to-list]:checked")
    tab.locator(".hits input").nth(1).check()
    at = ticks.input_value()
    tab.locator("#more").click()
    expect(tab).to_have_url(f"{demo_served.address}/?q=jab&limit=40#hit-21")
    assert tab.evaluate("document.activeElement.closest('li').id") == "hit-21"
    expect(tab.locator(".hits input:checked")).to_have_value(at)
    tab.locator("#q").fill('"zqxv"')
    expect(tab.locator("#said")).to_contain_text("No moment")
    expect(tab.locator("#ticked input:checked")).to_have_value(at)
    tab.locator("#q").fill("tie-up")
    expect(tab.locator("#said")).to_contain_text("moments in")
    assert tab.evaluate("new FormData(document.getElementById('add-to-list')).getAll('at')") == [at]
    tab.go_back()
    expect(tab.locator(".hits input:checked")).to_have_value(at)
    expect(tab.locator("#ticked")).to_be_hidden()


def test_an_older_answer_never_replaces_a_newer_one(demo_served: Served, tab: Page) -> None:
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    tab.route(re.compile(r"\?q=jab$"), hold)
    tab.goto(demo_served.address)
    with tab.expect_request(re.compile(r"\?q=jab$")):
        tab.locator("#q").fill("jab")
    tab.locator("#q").fill("clinch")
    expect(tab).to_have_url(f"{demo_served.address}/?q=clinch")
    newer = tab.locator("#answer").inner_text()
    held[0].fulfill(body='<p id="said">old</p><div id="answer">old</div>', content_type="text/html")
    tab.wait_for_timeout(100)
    assert tab.locator("#answer").inner_text() == newer


def test_it_is_said_when_nobody_answers(demo_served: Served, tab: Page) -> None:
    tab.goto(demo_served.address)
    tab.route("**/*", lambda route: route.abort())
    tab.locator("#q").fill("jab")
    expect(tab.locator("#said")).to_have_text("No answer: does the program still run?")
    expect(tab.locator("#answer")).not_to_have_attribute("aria-busy", "true")


def test_without_script_on_a_phone(demo_served: Served, browser: Browser) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 800}, java_script_enabled=False)
    page = context.new_page()
    page.goto(demo_served.address)
    page.get_by_label("What happened, in your words").fill("bait with the open guard")
    page.get_by_text("Narrow it down").click()
    page.get_by_label("Who acts", exact=True).fill("corvale")
    page.get_by_role("button", name="Search").first.click()
    page.wait_for_url("**by=corvale*")
    assert page.locator(".hits li").count() > 0
    assert page.get_by_label("Who acts", exact=True).input_value() == "corvale"
    context.close()


@pytest.mark.parametrize("path", ["/", f"/?{ASKED}&limit=60", "/?by=corvale&fighter=nobody&round=2"])
def test_no_sideways_scroll_on_a_phone(demo_served: Served, tab: Page, path: str) -> None:
    tab.set_viewport_size({"width": 390, "height": 800})
    tab.goto(demo_served.address + path)
    tab.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    assert tab.evaluate("document.documentElement.scrollWidth") <= 390
