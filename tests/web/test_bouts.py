"""The bouts and a bout: what the pages say, and a picture of which each mark leads to its moment."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import parse_qs, urlsplit
from xml.etree import ElementTree

import pytest
from playwright.sync_api import Page
from starlette.testclient import TestClient

from fightnotes.library import open_library
from fightnotes.web.app import make_app
from fightnotes.web.kept import KeptLibrary
from tests.conftest import MakeLibrary
from tests.web.conftest import ADDRESS, OpenClient, Serve, faults_for_readers

BOUT = "quell-marvane"
LINK = f"/bout?id={BOUT}"


@pytest.fixture(scope="module")
def client(half_tagged: Path) -> Iterator[TestClient]:
    with TestClient(make_app(KeptLibrary(half_tagged)), base_url=ADDRESS) as client:
        yield client


def picture(page: str) -> ElementTree.Element:
    return ElementTree.fromstring(re.findall(r"<svg.*?</svg>", page, re.DOTALL)[0])


def rows(page: str) -> list[list[str]]:
    """The words of each row of each table."""
    found = [re.split(r"</t[dh]>", row) for row in re.findall(r"<tr>(.*?)</tr>", page, re.DOTALL)]
    return [[" ".join(html.unescape(re.sub("<[^>]+>", " ", cell)).split()) for cell in row] for row in found]


def places(page: str) -> list[int]:
    """The lines of the bout's notes that the tables show, in their order."""
    return [int(line) for row in rows(page) for line in re.findall(r"bouts/a\.md:(\d+)", row[2])]


def marks_by_line(svg: ElementTree.Element) -> list[tuple[float, list[ElementTree.Element]]]:
    """The height of each round's line, and the marks that are drawn behind it and before the next."""
    found: list[tuple[float, list[ElementTree.Element]]] = []
    for part in svg:
        if part.tag == "line" and part.attrib["y1"] == part.attrib["y2"]:
            found.append((float(part.attrib["y1"]), []))
        elif part.tag == "a":
            found[-1][1].append(part[0])
    return found


def test_the_facts_of_a_bout(client: TestClient) -> None:
    page = client.get(LINK).text
    facts = page.partition("<dl")[2].partition("</dl>")[0]
    said = [" ".join(re.sub("<[^>]+>", " ", fact).split()) for fact in re.findall(r"<d[td].*?</d[td]>", facts)]
    assert said == [
        "Date", "2031-03-08", "Red corner", "Ada Quell, southpaw", "Blue corner", "Ilse Marvane, orthodox",
        "Rounds", "3 rounds of 3:00, 1:00 of rest, the clock runs down", "Analyst", "not given",
        "Recordings", "footage: media/quell-marvane.mp4 , not at hand", "Files", "bouts/a.md, transcripts/talk.vtt",
    ]  # fmt: skip


def test_each_mark_of_the_picture_leads_to_its_moment(client: TestClient) -> None:
    svg = picture(client.get(LINK).text)
    links = {link.attrib["aria-label"]: urlsplit(link.attrib["href"]) for link in svg.iter("a")}
    assert {told: (link.path, parse_qs(link.query)["at"]) for told, link in links.items()} == {
        "2:50 jab by quell, landed": ("/moment", ["bouts/a.md:13"]),
        "2:40 jab by marvane, missed": ("/moment", ["bouts/a.md:14"]),
        "2:00 no tag by quell": ("/moment", ["bouts/a.md:16"]),
        "2:30 cross by marvane, knockdown": ("/moment", ["bouts/a.md:19"]),
        "knockdown": ("/moment", ["bouts/a.md:19"]),
    }
    told = svg.findtext("desc") or ""
    assert all(label in told for label in links)
    assert svg.attrib["role"] == "group"  # the parts of an image are not told to a reader: WAI-ARIA 1.2, 5.4
    assert [one.attrib.get("stroke-dasharray") for one in svg.iter("line") if one.attrib["y1"] == one.attrib["y2"]] == [
        None, None, "2 4",
    ]  # fmt: skip


def test_an_exported_picture_has_no_links(half_tagged: Path, tmp_path: Path) -> None:
    library = open_library(half_tagged)
    library.draw(library.timeline(BOUT), tmp_path / "bout.svg")
    svg = ElementTree.parse(tmp_path / "bout.svg").getroot()
    assert svg.attrib["role"] == "img"
    assert not [each for each in svg.iter() if each.tag.endswith("}a")]


def test_corners_are_told_apart_by_their_place_and_concepts_by_their_letter(client: TestClient) -> None:
    """Without a colour."""
    page = client.get(LINK).text
    svg = picture(page)
    sides = [
        (mark.attrib["class"], "above" if float(mark.attrib["y"]) < line else "below", mark.text)
        for line, around in marks_by_line(svg)
        for mark in around
    ]
    assert sorted(sides) == [
        ("blue", "below", "A"), ("blue", "below", "B"), ("blue", "below", "▼"),
        ("red", "above", "A"), ("red", "above", "•"),
    ]  # fmt: skip
    assert "Above the line: Ada Quell, red corner." in page
    assert "Below the line: Ilse Marvane, blue corner." in page
    key = {text[0].text: (text[0].tail or "").strip() for text in svg.iter("text") if text.find("tspan") is not None}
    assert key == {"A": "jab", "B": "cross", "•": "anything else", "▼": "knockdown"}


def test_moments_stand_by_round_in_the_order_of_time(client: TestClient) -> None:
    page = client.get(LINK).text
    assert re.findall("<h3>(.*?)</h3>", page) == ["Round 1", "Round 2"]
    assert places(page) == [13, 14, 15, 16, 17, 19, 20]
    first = rows(page)[1]
    assert first[:2] == ["2:50 1:10-1:20", "quell"]
    assert first[2] == "Quell lands the jab. #jab by:quell on:marvane outcome:landed bouts/a.md:13"
    assert [row[1] for row in rows(page) if "under the elbow" in row[2]] == ["quell (inferred)"]


def test_filters_are_those_of_the_link(client: TestClient) -> None:
    assert places(client.get(f"{LINK}&tag=jab").text) == [13, 14]
    assert places(client.get(f"{LINK}&tag=jab&tag=straight+left").text) == [13, 14, 19]
    page = client.get(f"{LINK}&tag=jab&by=Ada+Quell").text
    assert places(page) == [13]
    assert len(list(picture(page).iter("a"))) == 1
    assert 'name="tag" value="jab"' in page
    assert '<option value="Ada Quell" selected>' in page


def test_what_cannot_be_asked_is_said_beside_the_form(client: TestClient) -> None:
    assert client.get("/bout?id=none").status_code == 404
    answer = client.get(f"{LINK}&tag=%3Cno+such%3E")
    assert answer.status_code == 400
    assert "&lt;no such&gt;" in answer.text.partition('role="alert">')[2].partition("</p>")[0]
    assert 'name="tag" value="&lt;no such&gt;"' in answer.text


UNTIDY = """---
bout: a
title: "<script>alert(1)</script> v B"
rounds: {count: 2, length: "3:00", clock: down}
red: {name: Ada Quell}
blue: {name: Ilse Marvane}
---
Both looked tired.
## Round 2
- R2 1:00 A jab & more. by:quell outcome:landed
- R2 2:00 A jab. by:nobody
- R9 2:00 Never.
"""
DATED = "---\nbout: {0}\ntitle: {0}\ndate: {0}\n---\n- 0:10 A jab.\n"


def test_untimed_notes_and_what_could_not_be_read_are_shown(make_library: MakeLibrary, open_client: OpenClient) -> None:
    dated = {f"bouts/{day}.md": DATED.format(day) for day in ("2031-03-08", "2032-01-01", "2030-12-31")}
    client = open_client(make_library({"bouts/a.md": UNTIDY, **dated}))
    page = client.get("/bout?id=a").text
    assert "<script>alert" not in page
    assert '<h1 dir="auto">&lt;script&gt;alert(1)&lt;/script&gt; v B</h1>' in page
    assert re.findall("<h3>(.*?)</h3>", page)[-1] == "Untimed"
    assert places(page)[:2] == [11, 10]
    assert places(page)[-1] == 8
    problems = html.unescape(page.partition("What could not be read")[2])
    assert "bouts/a.md:11" in problems
    assert "bouts/2031" not in problems
    listed = rows(client.get("/bouts").text)[1:]
    assert [row[0] for row in listed] == ["2032-01-01", "2031-03-08", "2030-12-31", "no date"]
    assert listed[-1][2:5] == ["1 of 2", "4", "none named"]


def test_the_picture_by_keyboard_on_paper_and_in_forced_colours(serve: Serve, half_tagged: Path, tab: Page) -> None:
    tab.goto(serve(half_tagged).address + LINK)
    first, button = tab.locator("svg a").first, tab.get_by_role("button", name="Show these")
    button.focus()
    tab.keyboard.press("Tab")
    assert first.evaluate("one => one === document.activeElement")
    assert first.evaluate("one => getComputedStyle(one).outlineStyle") == "solid"
    fills = "[...document.querySelectorAll('.timeline svg text')].map(one => getComputedStyle(one).fill)"
    assert len(set(tab.evaluate(fills))) > 1
    tab.emulate_media(media="print")
    assert set(tab.evaluate(fills)) == {"rgb(0, 0, 0)"}
    assert not button.is_visible()
    tab.emulate_media(media="screen", forced_colors="active")
    line = tab.evaluate("getComputedStyle(document.querySelector('.timeline svg .ink-line')).stroke")
    assert line == tab.evaluate("getComputedStyle(document.querySelector('h1')).color")
    tab.emulate_media(forced_colors="none")
    tab.set_viewport_size({"width": 390, "height": 800})
    assert tab.evaluate("document.documentElement.scrollWidth") == 390
    assert faults_for_readers(tab) == []
    first.focus()
    tab.keyboard.press("Enter")
    tab.wait_for_url("**/moment?at=*")
