"""A library made to run something in the browser of whoever looks at it, or to give away files that are not its own.

Each text carries the ways to run a script that HTML knows (WHATWG HTML: script elements, event handlers, `javascript:`
URLs, frames, styles, forms, a base), and would set `window.hit`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import Page
from starlette.testclient import TestClient

from fightnotes.web.app import make_app
from tests.cli.test_hostile import BIDI
from tests.conftest import write_library
from tests.web.conftest import ADDRESS, Served, served

RUN = "window.hit=1"
ATTACK = (
    f"<script>{RUN}</script><img src=x onerror={RUN}><svg onload={RUN}></svg>'\"><b onmouseover={RUN}>{{{{7*7}}}}</b>"
    f"<a href=javascript:{RUN}>a</a><iframe srcdoc='<script>{RUN}</script>'></iframe><base href=//evil.example>"
    "<style>*{display:none}</style><form action=//evil.example></form></title></textarea></select></details>"
)
ELEMENTS = (
    "iframe, base, svg[onload], b[onmouseover], img[onerror], a[href^=javascript], form[action*=evil], object, embed"
)
"""Of the attack's elements those that no page of ours has."""
NAME = "bouts/<img src=x onerror=window.hit=1> \u202e.md"
NOTE = f"""\
---
bout: "a{ATTACK.replace('"', "")}"
title: "T\u202e{ATTACK.replace('"', "")}"
date: 2031-03-08
red: {{name: "R{ATTACK.replace('"', "")} Corvale", id: corvale}}
blue: {{name: Rika Brandaal, id: brandaal}}
media: {{file: ../../../../etc/passwd, rate: 25}}
recordings: {{talk: {{file: /etc/passwd, rate: 25}}, "x<b>": {{file: outside.mp4, rate: 25}}}}
analyst: "m{ATTACK.replace('"', "")}"
---
## Round 1
- 0:10 A jab {ATTACK} then \u202ebackwards\u2066. #jab by:corvale outcome:landed
- 0:20 jab {"<script>window.hit=1</script> " * 100}{"x" * 2_000_000}
- 0:30 \\<b onmouseover={RUN}>\\</b> jab &lt;script&gt;{RUN}&lt;/script&gt; #nothing by:corvale
- R1 1:10 Unplaced \u2028 jab.
"""
UNQUOTED = ATTACK.replace('"', "")
VOCABULARY = f"""\
concepts:
- {{id: jab, label: "jab{UNQUOTED}", also: ["poke {RUN}<script>"], definition: "{UNQUOTED}"}}
- {{id: hook, label: "hook\u202e"}}
"""
FILES = {
    NAME: NOTE,
    "vocabulary.yaml": VOCABULARY,
    "library.yaml": f'title: "L{ATTACK.replace(chr(34), "")}"\n',
    "bouts/bad.md": f"---\nbout: [<script>{RUN}</script>\n---\n- 0:10 \x00jab{ATTACK}\n",
}
ASKED = (
    "/", "/?q=jab", f"/?q={quote(ATTACK)}", f"/?q=jab&by={quote(ATTACK)}", "/bouts", f"/{quote(ATTACK)}",
    f"/bout?id={quote(ATTACK)}",
)  # fmt: skip
"""Beside what pages link to."""
LINKED = (
    "/",
    "/bouts",
    "/bout",
    "/moment",
    "/cuts",
    "/decide",
    "/tally",
    "/compare",
    "/follow",
    "/answer",
    "/sheet",
    "/audit",
)
"""Pages that links must lead to, so that they are looked at."""


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Iterator[Served]:
    root = write_library(tmp_path_factory.mktemp("hostile") / "library", FILES, small_model)
    (root / "outside.mp4").symlink_to("/etc/passwd")
    with served(root) as running:
        yield running


@pytest.fixture(scope="module")
def client(hostile: Served) -> Iterator[TestClient]:
    with TestClient(make_app(hostile.kept), base_url=ADDRESS) as client:
        yield client


def links(html: str) -> set[str]:
    """Paths within the site that a page leads to."""
    return {unescape(found) for found in re.findall(r'(?:href|src)="(/[^/"][^"]*|/)"', html)}


def reached(client: TestClient, most: int) -> dict[str, str]:
    """Every page that links lead to from the first ones, up to `most` of each route; with its text."""
    left, seen, count = list(ASKED), dict[str, str](), dict[str, int]()
    while left:
        path = left.pop(0)
        route = path.partition("?")[0]
        if path in seen or (path not in ASKED and count.get(route, 0) >= most):
            continue
        count[route] = count.get(route, 0) + 1
        answer = client.get(path)
        assert answer.status_code < 500, path
        assert "root:" not in answer.text, path
        seen[path] = answer.text
        if answer.headers["content-type"].startswith("text/html"):
            left += sorted(links(answer.text))
    return seen


def test_every_page_escapes_it_and_gives_nothing_from_outside(client: TestClient) -> None:
    pages = {path: text for path, text in reached(client, 4).items() if text.startswith("<!DOCTYPE html>")}
    for path, text in pages.items():
        assert f"<script>{RUN}" not in text, path
        assert "<img src=x" not in text, path
        assert not [sign for sign in BIDI if sign in text], path
        assert "49</b>" not in text, path
    reads = {route.path for route in client.app.routes if "GET" in route.methods}  # type: ignore[attr-defined]
    shown = {path.partition("?")[0] for path in pages}
    assert {path for path in reads if path in LINKED} <= shown
    assert "&lt;script&gt;window.hit=1" in pages["/?q=jab"]


@pytest.mark.parametrize(
    "path",
    [
        "/script/..%2f..%2fapp.py", "/script/%2e%2e/app.py", "/script//etc/passwd", "/..%2f..%2fetc/passwd",
        "//etc/passwd",
        "/media?bout=a&recording=footage", "/media?bout=a&recording=talk", "/media?bout=a&recording=../../etc/passwd",
        "/moment?at=../../../../etc/passwd:1", "/moment?at=/etc/passwd:1", "/cuts/list?name=../../../../etc/passwd",
        "/cuts/list?name=/etc/passwd",
    ],
)  # fmt: skip
def test_no_address_leads_outside(client: TestClient, path: str) -> None:
    answer = client.get(path)
    assert 400 <= answer.status_code < 500
    assert "root:" not in answer.text


def test_nothing_runs_in_a_browser(hostile: Served, client: TestClient, tab: Page) -> None:
    dialogs: list[str] = []
    tab.on("dialog", lambda dialog: (dialogs.append(dialog.message), dialog.dismiss()))
    for path, text in reached(client, 1).items():
        if not text.startswith("<!DOCTYPE html>"):
            continue
        tab.goto(hostile.address + path, wait_until="load")
        assert tab.evaluate("window.hit") is None, path
        assert tab.locator(ELEMENTS).count() == 0, path
        assert tab.locator("script:not([src^='/script/'])").count() == 0, path
        assert tab.locator("h1").first.is_visible(), path
    assert dialogs == []
