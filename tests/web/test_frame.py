"""What every page has in common: who is let in, and who can read it."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page
from starlette.testclient import TestClient

from tests.web.conftest import Served, faults_for_readers

PAGES = (
    "/", "/?q=baiting+with+open+guard", "/?q=jab&by=nobody&round=2", "/bouts", "/cuts",
    "/bout?id=corvale-brandaal-2031&by=brandaal",
    "/moment?at=bouts/corvale-brandaal-2031.md:44",
    "/tally?rows=outcome&columns=round&trend=1", "/tally?rows=nothing", "/tally/moments?rows=concept&row=jab",
    "/compare?side=corvale&side=brandaal", "/follow?ask=1&concept=level-change-feint&bout=pedravelha-dzhamyrbek-2031",
    "/answer?q=does+the+jab+work",
    "/sheet?first=corvale&second=brandaal&bout=corvale-brandaal-2031", "/audit",
)  # fmt: skip


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "", "[::1]", "evil.example:8642"])
def test_another_name_for_this_machine_is_refused(demo_client: TestClient, host: str) -> None:
    assert demo_client.get("/", headers={"host": host}).status_code == 403


@pytest.mark.parametrize("path", PAGES)
def test_axe_finds_nothing_serious(demo_served: Served, tab: Page, path: str) -> None:
    tab.goto(demo_served.address + path)
    assert faults_for_readers(tab) == []
