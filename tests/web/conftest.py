"""The page for tests: a client without a network, a server on a port of its own, and Debian's Chromium."""

from __future__ import annotations

import shutil
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest
import uvicorn
from playwright.sync_api import Browser, Page, expect, sync_playwright
from starlette.testclient import TestClient

from fightnotes.library import open_library
from fightnotes.web import decide
from fightnotes.web.app import make_app
from fightnotes.web.kept import KeptLibrary
from tests.conftest import write_library
from tests.web.half_tagged import HALF_TAGGED

ADDRESS = "http://127.0.0.1"
AXE = Path(sys.prefix) / "npm/node_modules/axe-core/axe.min.js"


@dataclass(frozen=True)
class Served:
    root: Path
    kept: KeptLibrary
    address: str
    """Without a slash at its end."""


OpenClient = Callable[[Path], TestClient]
Serve = Callable[[Path], Served]


@pytest.fixture(autouse=True)
def patient(monkeypatch: pytest.MonkeyPatch) -> None:
    """What waits for a decision is waited for, however busy the machine."""
    monkeypatch.setattr(decide, "PATIENCE", 60.0)


@pytest.fixture
def open_client() -> Iterator[OpenClient]:
    """A client of the page of a library, as a browser on the same machine; its index is built where there is none."""
    with ExitStack() as stack:
        yield lambda root: stack.enter_context(TestClient(make_app(KeptLibrary(root)), base_url=ADDRESS))


@pytest.fixture(scope="session")
def demo_client(demo: Path) -> Iterator[TestClient]:
    """A client of the demo's page, for tests that change nothing."""
    with TestClient(make_app(KeptLibrary(demo)), base_url=ADDRESS) as client:
        yield client


@pytest.fixture(scope="session")
def half_tagged(tmp_path_factory: pytest.TempPathFactory, small_model: Path) -> Path:
    """A small library in which marks are suggested and a name was misheard; for tests that change it in a copy."""
    root = write_library(tmp_path_factory.mktemp("half-tagged") / "library", HALF_TAGGED, small_model)
    assert not open_library(root).build().problems
    return root


@contextmanager
def served(root: Path) -> Iterator[Served]:
    """A library on a free port, without the watching of its files: `kept.renew()` stands for it."""
    kept = KeptLibrary(root)
    server = uvicorn.Server(uvicorn.Config(make_app(kept), port=0, log_level="warning", access_log=False))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        assert thread.is_alive()
        time.sleep(0.01)
    port = server.servers[0].sockets[0].getsockname()[1]
    yield Served(root, kept, f"{ADDRESS}:{port}")
    server.should_exit = True
    thread.join()


@pytest.fixture
def serve() -> Iterator[Serve]:
    with ExitStack() as stack:
        yield lambda root: stack.enter_context(served(root))


@pytest.fixture(scope="session")
def demo_served(demo: Path) -> Iterator[Served]:
    """The demo's page, for tests that change nothing."""
    with served(demo) as running:
        yield running


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium, without a window."""
    program = shutil.which("chromium")
    if program is None:
        pytest.skip("there is no chromium: apt-get install chromium")
    expect.set_options(timeout=30_000)  # a busy machine is not a fault
    with sync_playwright() as playwright:
        arguments = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
        browser = playwright.chromium.launch(executable_path=program, args=arguments)
        yield browser
        browser.close()


@pytest.fixture
def tab(browser: Browser) -> Iterator[Page]:
    """A page of the browser, as wide as a desk's; whatever its scripts raise, or its policy refuses, fails the test."""
    context = browser.new_context(viewport={"width": 1200, "height": 900})
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("console", lambda said: faults.append(said.text) if "Content Security Policy" in said.text else None)
    yield page
    context.close()
    assert faults == []


def faults_for_readers(page: Page) -> list[str]:
    """What axe-core finds on a page that is serious or worse, a line each: WCAG 2.2 A and AA, and best practice."""
    if not AXE.is_file():
        pytest.skip(f"axe-core is not there: npm install --prefix {AXE.parents[2]} axe-core")
    page.evaluate(AXE.read_text(encoding="utf-8"))  # a script element would be refused by the page's own policy
    found = page.evaluate("axe.run()")["violations"]
    grave = [fault for fault in found if fault["impact"] in ("serious", "critical")]
    return [f"{fault['id']}: {node['html']}" for fault in grave for node in fault["nodes"]]
