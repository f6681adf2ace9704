"""Decisions taken on the page: what they write, what takes them back, what refuses them, and who can take them."""

from __future__ import annotations

import html
import re
import shutil
import threading
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient

from fightnotes.errors import StoreError
from fightnotes.library import Library, open_library
from fightnotes.reading.file_names import TAGS_FILE, TERMS_FILE
from fightnotes.web import decide
from fightnotes.web.kept import KeptLibrary
from tests.conftest import RunCommand
from tests.web.conftest import OpenClient, Serve, faults_for_readers

NOTES = "bouts/a.md"
TAGS = "/decide?only=tags"
HEARD = "/decide?only=misheard"


@pytest.fixture
def root(half_tagged: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(half_tagged, tmp_path / "library"))


@pytest.fixture
def twin(half_tagged: Path, tmp_path: Path) -> Path:
    """The same library again, for the terminal."""
    return Path(shutil.copytree(half_tagged, tmp_path / "twin"))


@pytest.fixture
def client(root: Path, open_client: OpenClient) -> TestClient:
    return open_client(root)


def asked(page: str) -> str:
    """What the page asks about; nothing where it asks nothing."""
    heading = re.search(r'<h2 id="what">(.+?)\?</h2>', page)
    return html.unescape(re.sub("<[^>]+>", "", heading[1])) if heading else ""


def sent(client: TestClient, page: str, action: str = "/decide", **more: str) -> tuple[int, str]:
    """The form of a page sent as a browser does it; the status and the page that comes back."""
    form = page.partition(f'action="{action}"')[2].partition("</form>")[0]
    fields = {
        name: html.unescape(value) for name, value in re.findall(r'type="hidden" name="(\w+)" value="(.*?)"', form)
    }
    answer = client.post(action, data=fields | more)
    return answer.status_code, answer.text


def decided(client: TestClient, page: str, do: str, **more: str) -> str:
    status, then = sent(client, page, do=do, **more)
    assert status == 200
    return then


def undo(client: TestClient, page: str) -> str:
    status, then = sent(client, page, "/decide/undo")
    assert status == 200
    return then


def files(root: Path) -> dict[str, bytes]:
    """All text files of a library."""
    hidden = ("undo", ".fightnotes")
    found = [path.relative_to(root) for path in root.rglob("*") if path.is_file()]
    return {str(path): (root / path).read_bytes() for path in found if path.parts[0] not in hidden}


def test_what_is_decided_is_written_as_the_terminal_writes_it(
    client: TestClient, root: Path, twin: Path, fightnotes: RunCommand
) -> None:
    before = files(root)
    page = client.get(TAGS).text
    for do, mark, other in (
        ("accept", "#body-hook", ""),
        ("reject", "#jab", ""),
        ("reject", "#cross", ""),
        ("other", "#pivot", "Straight left"),
        ("reject", "#jab", ""),
        ("reject", "#jab", ""),
        ("reject", "#cross", ""),
    ):
        assert asked(page).startswith(mark)
        page = decided(client, page, do, other=other)
    assert asked(page) == ""
    answers = "a\nr\nr\no\nstraight left\nr\nr\nr\ns\n"
    assert fightnotes("suggest", "--library", twin, "--only", "tags", "--review", stdin=answers).exit_code == 0
    written = files(root)
    assert written == files(twin)
    assert written[NOTES] != before[NOTES]
    assert b"under the elbow. #body-hook  \n" in written[NOTES]
    assert b"off the rope. #cross\n" in written[NOTES]


def test_undo_takes_decisions_back_one_by_one_and_shows_what_they_were_about(client: TestClient, root: Path) -> None:
    before = files(root)
    page = client.get(TAGS).text
    assert "Undo" not in page
    for do, other in (("accept", ""), ("reject", ""), ("other", "pivot")):
        page = decided(client, page, do, other=other)
    for mark in ("#cross", "#jab", "#body-hook"):
        page = undo(client, page)
        assert asked(page).startswith(mark)
    assert files(root) == before
    assert "Undo" not in page


def test_a_form_that_is_sent_twice_counts_once(client: TestClient, root: Path) -> None:
    first = client.get(TAGS).text
    second = decided(client, first, "accept")
    written = files(root)
    assert asked(decided(client, first, "reject")) == asked(second)
    assert files(root) == written
    third = decided(client, second, "reject")
    undo(client, third)
    undo(client, third)
    assert files(root) == written


@pytest.mark.parametrize(
    ("do", "other", "words"),
    [
        ("accept", "", ("--apply", "marvain")),
        ("reject", "", ("--reject", "marvain")),
        ("other", "Ada Quell", ("--apply", "marvain", "--as", "misheard", "--of", "quell")),
        ("other", "pivot", ("--apply", "marvain", "--as", "misheard", "--of", "pivot")),
    ],
)
def test_a_misheard_form_is_written_as_the_terminal_writes_it(
    client: TestClient, root: Path, twin: Path, fightnotes: RunCommand, do: str, other: str, words: tuple[str, ...]
) -> None:
    before = files(root)
    page = client.get(HEARD).text
    assert asked(page) == "marvain: a misheard form of marvane"
    page = decided(client, page, do, other=other)
    assert asked(page) == ""
    assert fightnotes("propose", "--library", twin, *words).exit_code == 0
    assert files(root) == files(twin)
    assert files(root) != before
    assert asked(undo(client, page)) == "marvain: a misheard form of marvane"
    assert files(root) == before


def test_a_note_that_was_changed_is_not_written(client: TestClient, root: Path) -> None:
    page = client.get(TAGS).text
    path = root / NOTES
    path.write_bytes(path.read_bytes().replace(b"under the elbow", b"over the elbow"))
    before = files(root)
    status, then = sent(client, page, do="accept")
    assert status == 409
    assert f"not written: {NOTES}:15:1: found another text" in html.unescape(then)
    assert files(root) == before
    assert asked(then).startswith("#body-hook")
    assert 'value="accept"' not in then
    assert asked(client.get(later(then)).text).startswith("#jab")


def test_an_undo_whose_lines_were_changed_is_said_and_nothing_is_lost(client: TestClient, root: Path) -> None:
    page = decided(client, client.get(TAGS).text, "accept")
    path = root / NOTES
    path.write_bytes(path.read_bytes().replace(b"under the elbow", b"over the elbow"))
    before = files(root)
    status, then = sent(client, page, "/decide/undo")
    assert status == 409
    assert "not taken back: " in then
    assert files(root) == before
    assert list((root / "undo").glob("*.json"))


@pytest.mark.parametrize("path", ["/decide", "/decide/undo"])
@pytest.mark.parametrize("token", ["", "of another start"])
def test_without_the_token_nothing_is_done(client: TestClient, root: Path, path: str, token: str) -> None:
    page = decided(client, client.get(TAGS).text, "accept")
    before = files(root)
    status, _ = sent(client, page, path, do="accept", token=token)
    assert status == 403
    assert files(root) == before


def test_another_that_is_not_known_is_said_with_what_was_written(client: TestClient, root: Path) -> None:
    before = files(root)
    status, then = sent(client, client.get(TAGS).text, do="other", other="<no such>")
    assert status == 400
    assert "the library knows no concept '<no such>'" in html.unescape(then)
    assert 'name="other" value="&lt;no such&gt;"' in then
    status, then = sent(client, then, do="other", other=" ")
    assert (status, "no tag was given" in then) == (400, True)
    assert sent(client, then, do="burn")[0] == 400
    assert files(root) == before


def later(page: str) -> str:
    return html.unescape(re.findall(r'<a class="button" href="(.+?)"', page)[0])


def through(client: TestClient, path: str) -> list[str]:
    """What is asked from a page on, when all is put off."""
    seen = []
    page = client.get(path).text
    while asked(page):
        seen.append(asked(page))
        page = client.get(later(page)).text
    return seen


def test_the_link_says_what_is_gone_through(client: TestClient) -> None:
    everything = through(client, "/decide")
    assert len(everything) == 16
    assert [each for each in everything if each.startswith("#")] == through(client, TAGS)
    assert through(client, "/decide?only=fields") == [each for each in everything if re.match(r"\w+:\w+$", each)]
    assert through(client, "/decide?bout=quell-marvane&above=0.87") == [
        "#body-hook (body hook)", "target:body", "by:quell", "on:marvane", "#cross (cross)", "on:marvane",
        "#pivot (pivot)", "by:marvane", "by:quell", "marvain: a misheard form of marvane",
    ]  # fmt: skip
    assert Counter(everything) < Counter(through(client, "/decide?above=0"))
    assert through(client, "/decide?at=bouts/a.md:18")[0] == "by:quell"
    assert client.get("/decide?bout=none").status_code == 404
    for bad in ("only=all", "above=2", "above=nan", "at=nowhere"):
        assert client.get(f"/decide?{bad}").status_code == 400


def test_footage_at_hand_stands_at_the_moment(client: TestClient, root: Path) -> None:
    assert "<video" not in client.get(TAGS).text
    (root / "media").mkdir()
    (root / "media/quell-marvane.mp4").write_bytes(b"\0\0\0\x18ftypisom")
    source = html.unescape(re.findall('<video class="clip" src="(.+?)"', client.get(TAGS).text)[0])
    assert source == "/media?bout=quell-marvane&recording=footage#t=100,112"
    assert client.get(source).status_code == 200


def test_what_was_put_off_does_not_come_again_at_once(client: TestClient) -> None:
    page = client.get("/decide?only=fields").text
    assert asked(page) == "target:body"
    page = client.get(later(page)).text
    assert asked(page) == "by:quell"
    page = decided(client, page, "accept")
    assert asked(page) == "on:marvane"
    assert through(client, "/decide?only=fields")[:2] == ["target:body", "on:marvane"]


def renewed(kept: KeptLibrary, client: TestClient) -> None:
    """The index made anew, and the suggestions of it."""
    kept.renew()
    assert kept.trouble is None
    for _ in range(600):
        if "made anew" not in client.get(TAGS).text:
            return
        threading.Event().wait(0.05)
    raise AssertionError("the suggestions were not worked out")


def kept_by(client: TestClient) -> KeptLibrary:
    kept: KeptLibrary = client.app.state.kept  # type: ignore[attr-defined]
    return kept


def test_the_queue_goes_on_when_the_index_was_renewed(client: TestClient, root: Path) -> None:
    first = client.get(TAGS).text
    second = client.get(later(first)).text
    path = root / NOTES
    path.write_bytes(path.read_bytes().replace(b"## Round 1\n", b"## Round 1\nAn even round.\n\n"))
    renewed(kept_by(client), client)
    third = decided(client, second, "reject")
    assert asked(third).startswith("#cross")
    renewed(kept_by(client), client)
    assert [each[:4] for each in through(client, TAGS)] == ["#bod", "#cro", "#piv", "#jab", "#jab", "#cro"]
    page = decided(client, third, "accept")
    for mark in ("#pivot", "#jab", "#jab", "#cross"):
        assert asked(page).startswith(mark)
        page = decided(client, page, "reject")
    assert asked(page) == ""
    renewed(kept_by(client), client)
    assert [each[:4] for each in through(client, TAGS)] == ["#bod"]


def test_what_was_decided_does_not_come_back_when_the_program_is_started_anew(
    client: TestClient, root: Path, open_client: OpenClient
) -> None:
    page = decided(client, client.get(TAGS).text, "accept")
    decided(client, page, "reject")
    decided(client, client.get(HEARD).text, "reject")
    assert (root / TAGS_FILE).is_file()
    assert (root / TERMS_FILE).is_file()
    open_library(root).build()
    anew = open_client(root)
    assert [each[:4] for each in through(anew, TAGS)] == ["#cro", "#jab", "#piv", "#jab", "#jab", "#cro", "#bod"]
    assert through(anew, HEARD) == []


def test_what_was_known_is_given_until_the_new_is_worked_out(root: Path) -> None:
    kept, may_go_on, done = KeptLibrary(root), threading.Event(), threading.Event()

    def slowly(name: str) -> Callable[[Library], str]:
        def work_out(_: Library) -> str:
            if name != "old":
                assert may_go_on.wait(30)
                done.set()
            return name

        return work_out

    assert kept.lately("it", slowly("old")) == ("old", True)
    assert kept.lately("it", slowly("never asked")) == ("old", True)
    (root / NOTES).write_bytes((root / NOTES).read_bytes() + b"- 9:00 The last bell.\n")
    kept.renew()
    assert kept.lately("it", slowly("new")) == ("old", False)
    assert kept.lately("it", slowly("asked while it is worked out")) == ("old", False)
    may_go_on.set()
    assert done.wait(30)
    while kept.lately("it", slowly("newer"))[0] == "old":
        threading.Event().wait(0.01)
    assert kept.lately("it", slowly("newer")) == ("new", True)


def test_that_the_first_list_is_being_worked_out_is_said_until_it_is_shown(
    serve: Serve, root: Path, tab: Page, monkeypatch: pytest.MonkeyPatch
) -> None:
    may_go_on, work_out = threading.Event(), Library.to_decide
    monkeypatch.setattr(decide, "PATIENCE", 0.01)
    monkeypatch.setattr(Library, "to_decide", lambda *given: may_go_on.wait(30) and work_out(*given))
    tab.goto(f"{serve(root).address}{TAGS}")
    expect(tab.get_by_role("status")).to_contain_text("is being worked out")
    assert faults_for_readers(tab) == []
    assert tab.get_by_role("link", name="Look again").get_attribute("href") == TAGS
    may_go_on.set()
    expect(tab.get_by_role("heading", name="#body-hook")).to_be_visible()


def test_why_the_list_cannot_be_worked_out_is_said_to_all_who_ask(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise StoreError("the store is torn")

    monkeypatch.setattr(Library, "to_decide", fails)
    for _ in range(2):
        answer = client.get(TAGS)
        assert (answer.status_code, "the store is torn" in answer.text) == (503, True)


def test_by_keys_alone_a_suggestion_is_taken_and_taken_back(serve: Serve, root: Path, tab: Page) -> None:
    served, path = serve(root), root / NOTES
    before = path.read_bytes()
    tab.goto(f"{served.address}{TAGS}")
    assert faults_for_readers(tab) == []
    tab.keyboard.press("a")
    tab.wait_for_url("**of=*")
    tab.get_by_role("heading", name="#jab").wait_for()
    assert path.read_bytes() == before.replace(b"under the elbow.", b"under the elbow. #body-hook")
    assert faults_for_readers(tab) == []
    tab.keyboard.press("o")
    tab.keyboard.type("rural")
    assert tab.get_by_label("Another in its place").input_value() == "rural"
    tab.keyboard.press("Escape")
    tab.keyboard.press("Tab")
    tab.keyboard.press("u")
    tab.get_by_role("heading", name="#body-hook").wait_for()
    tab.wait_for_load_state()
    assert path.read_bytes() == before
    tab.keyboard.press("l")
    tab.get_by_role("heading", name="#jab").wait_for()
    tab.get_by_role("link", name="Switch them off").press("Enter")
    tab.get_by_role("link", name="Switch them on").wait_for()
    tab.keyboard.press("r")
    assert tab.locator("[aria-keyshortcuts], script").count() == 0
    assert files(root)[NOTES] == before
    tab.set_viewport_size({"width": 390, "height": 800})
    assert tab.evaluate("document.documentElement.scrollWidth") == 390


def test_notes_that_a_reason_names_stand_there_once_as_links(client: TestClient, root: Path) -> None:
    first = next(one for one in open_library(root).suggest() if one.writable and one.why.places)
    page = client.get(f"{TAGS}&at={first.place}").text
    reason = next(line for line in page.splitlines() if "% probable" in line)
    for place in first.why.places:
        assert reason.count(f">{place}</a>") == page.count(place + "</a>") == 1
    assert str(first.why) in html.unescape(re.sub("<[^>]+>", "", reason))
