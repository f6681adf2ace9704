"""Cut lists on the page: a file that the command line reads as well."""

from __future__ import annotations

import io
import re
import zipfile
from html.parser import HTMLParser
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from starlette.testclient import TestClient

from fightnotes.cutting import EXPORTS
from fightnotes.library import open_library
from tests.conftest import MakeLibrary, RunCommand
from tests.web.conftest import OpenClient, Serve, faults_for_readers

FIRST, SECOND = "bouts/corvale.md", "bouts/okafor.md"
FILES = {
    FIRST: """\
---
bout: corvale
title: Corvale v Brandaal
date: 2031-03-08
rounds: {count: 3, length: "3:00", clock: down}
red: {name: Ines Corvale}
blue: {name: Rika Brandaal}
media: {file: media/corvale.mp4, rate: 25, bells: {1: "0:01:00"}}
---
- R1 2:30-2:28 Corvale steps outside and throws the left. by:corvale outcome:landed
- R1 2:00-1:56 Brandaal lifts both gloves to draw the counter.
- R1 1:00-0:55 jab to the body
- it was a slow start
""",
    SECOND: """\
---
bout: okafor
title: Okafor v <i>Lind</i>
date: 2030-01-02
media: {file: media/okafor.mp4, rate: 30000/1001, drop_frame: true}
---
- 0:02:00-0:02:04 \\<script>alert(1)\\</script> hook off the jab
""",
}
BOTH = (f"{FIRST}:10", f"{FIRST}:11", f"{FIRST}:12", f"{SECOND}:7")


class Forms(HTMLParser):
    """The forms of a page: action, and the fields that are sent as they stand."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str]]] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.found.append((given["action"], {}))
        elif tag == "input" and self.found and given.get("type") not in ("checkbox", "search") and "name" in given:
            self.found[-1][1][given["name"]] = given.get("value", "")

    def first(self, action: str, **having: str) -> dict[str, str]:
        return next(dict(fields) for to, fields in self.found if to == action and having.items() <= fields.items())


def sent(client: TestClient, page: str, action: str, /, to: str | None = None, **fields: str | list[str]) -> str:
    """The page that follows when a form of a page is sent with these fields; `place` picks among several."""
    place = {"place": str(fields["place"])} if "place" in fields else {}
    form = Forms(client.get(page).text).first(action, **place)
    answer = client.post(to or action, data={**form, **fields})
    assert answer.status_code == 200, answer.text
    return answer.text


@pytest.fixture
def root(make_library: MakeLibrary) -> Path:
    return make_library(FILES)


@pytest.fixture
def client(root: Path, open_client: OpenClient) -> TestClient:
    """Of a library with a list of four moments."""
    client = open_client(root)
    open_library(root).create_list("baits", BOTH)
    return client


def lines(root: Path, name: str = "baits") -> list[str]:
    """The places in the file, in its order."""
    text = (root / "cuts" / f"{name}.yaml").read_text(encoding="utf-8")
    return re.findall(r"^ +- at: (.*)", text, re.MULTILINE)


LIST = "/cuts/list?name=baits"


def test_a_list_is_begun_filled_and_read_by_the_command(
    root: Path, open_client: OpenClient, fightnotes: RunCommand
) -> None:
    client = open_client(root)
    assert "There is no list yet" in client.get("/cuts").text
    sent(client, "/cuts", "/cuts/new", name="left-hooks", title="Left <b>hooks</b>")
    assert "No moments yet" in client.get("/cuts/list?name=left-hooks").text
    search = "/?q=jab+to+the+body"
    page = sent(client, search, "/cuts/add", list="left-hooks", at=[BOTH[2], BOTH[0]])
    assert "Added: 2." in page
    assert "Left &lt;b&gt;hooks&lt;/b&gt;" in page
    assert "In the list already: 1." in sent(client, search, "/cuts/add", list="left-hooks", at=[BOTH[3], BOTH[0]])
    assert lines(root, "left-hooks") == [BOTH[2], BOTH[0], BOTH[3]]
    made = fightnotes("cut", "--library", root, "--from", root / "cuts/left-hooks.yaml", "--format", "csv")
    assert [row.split(",")[1] for row in made.stdout.splitlines()[1:]] == ["corvale", "corvale", "okafor"]
    sent(client, search, "/cuts/add", new="second", at=[BOTH[1]])
    assert lines(root, "second") == [BOTH[1]]
    assert re.findall(r'name=([\w-]+)">', client.get("/cuts").text) == ["left-hooks", "second"]


def test_a_list_that_the_command_saved_is_shown(root: Path, open_client: OpenClient, fightnotes: RunCommand) -> None:
    client = open_client(root)
    (root / "cuts").mkdir()
    fightnotes("cut", "--library", root, "--at", BOTH[1], "--save", root / "cuts/saved.yaml", "--title", "By command")
    assert "By command" in client.get("/cuts").text
    assert "1 cut of 1 moment, <strong>0:08.00</strong>" in client.get("/cuts/list?name=saved").text


def test_what_is_shown_of_a_moment(client: TestClient, root: Path) -> None:
    sent(client, LIST, "/cuts/card", place="2", before="0", after="1.5")
    page = client.get(LIST).text
    assert f"/moment?at={BOTH[0].replace(':', '%3A')}" in page
    assert "Okafor v &lt;i&gt;Lind&lt;/i&gt;" in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt; hook off the jab" in page
    assert "00:01:28:00 - 00:01:34:00" in page  # 1:30 to 1:32 and two seconds around it
    assert "Its own handles: 0 s before, 1.5 s after." in page
    assert "media/corvale.mp4" not in page
    assert "footage not at hand" in page


def test_moments_are_moved_and_removed_and_the_file_keeps_the_order(client: TestClient, root: Path) -> None:
    form = Forms(client.get(LIST).text).first("/cuts/move", place="4")
    answer = client.post("/cuts/move", data={**form, "to": "1"}, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, f"{LIST}#place-1")
    assert lines(root) == [BOTH[3], *BOTH[:3]]
    assert "is at place 1 of 4" in client.get(LIST).text
    page = sent(client, LIST, "/cuts/move", "/cuts/remove", place="2")
    assert lines(root) == [BOTH[3], *BOTH[1:3]]
    assert "is removed" in page
    assert "Taken back" in sent(client, LIST, "/cuts/undo")
    assert lines(root) == [BOTH[3], *BOTH[:3]]
    sent(client, LIST, "/cuts/undo")
    assert lines(root) == [BOTH[3], *BOTH[1:3]]


def test_order_by_date_is_written_into_the_file(client: TestClient, root: Path) -> None:
    sent(client, LIST, "/cuts/order", order="date")
    assert lines(root) == [BOTH[3], *BOTH[:3]]


def test_settings_of_the_list_and_of_a_moment(client: TestClient, root: Path, fightnotes: RunCommand) -> None:
    sent(client, LIST, "/cuts/settings", title="Baits: all", before="0:01", after="5/3", inside_round="on")
    page = sent(client, LIST, "/cuts/card", place="3", title="Body", before="0", after="")
    assert "0 s before, 5/3 s after" in page
    text = (root / "cuts/baits.yaml").read_text(encoding="utf-8")
    assert 'title: "Baits: all"\nhandles: {before: 1, after: 5/3}\ninside_round: true\n' in text
    assert "    title: Body\n    handles: {before: 0, after: 5/3}\n" in text
    made = fightnotes("cut", "--library", root, "--from", root / "cuts/baits.yaml")
    assert made.stdout.splitlines()[-1].startswith("Baits: all: 4 cuts,")
    assert made.stdout.splitlines()[-1].removeprefix("Baits: all: 4 cuts, ") in page
    sent(client, LIST, "/cuts/settings", title="", before="", after="0")
    assert "Baits: all" in client.get(LIST).text
    assert "inside_round" not in (root / "cuts/baits.yaml").read_text(encoding="utf-8")


def test_what_is_no_seconds_is_said(client: TestClient, root: Path) -> None:
    before = (root / "cuts/baits.yaml").read_bytes()
    form = Forms(client.get(LIST).text).first("/cuts/settings")
    for typed in ("soon", "-1", "1e9", "1:99", "361000"):
        answer = client.post("/cuts/settings", data={**form, "before": typed})
        assert answer.status_code == 400
        assert f"found &#39;{typed}&#39;, expected seconds" in answer.text
    assert (root / "cuts/baits.yaml").read_bytes() == before


def test_a_file_that_changed_meanwhile_is_shown_as_it_is(client: TestClient, root: Path) -> None:
    path = root / "cuts/baits.yaml"
    form = Forms(client.get(LIST).text).first("/cuts/settings")
    by_hand = path.read_text(encoding="utf-8").replace("title: baits", "title: By hand  # mine")
    path.write_text(by_hand, encoding="utf-8")
    answer = client.post("/cuts/settings", data={**form, "title": "From the page"})
    assert answer.status_code == 409
    assert "<h1>By hand</h1>" in answer.text
    assert "a change made meanwhile" in answer.text
    assert "You had typed: “From the page”" in answer.text
    assert path.read_text(encoding="utf-8") == by_hand
    for action, more in (("move", {"place": "1", "to": "2"}), ("remove", {"place": "1"}), ("undo", {})):
        assert client.post(f"/cuts/{action}", data={**form, **more}).status_code in (400, 409)
    assert path.read_text(encoding="utf-8") == by_hand
    moved = Forms(client.get(LIST).text).first("/cuts/move", place="1")
    assert client.post("/cuts/move", data={**moved, "to": "2"}).status_code == 200
    assert "title: By hand  # mine" in path.read_text(encoding="utf-8")


def test_an_undo_of_a_page_that_is_older_does_nothing(client: TestClient, root: Path) -> None:
    sent(client, LIST, "/cuts/order", order="date")
    older = Forms(client.get(LIST).text).first("/cuts/undo")
    sent(client, LIST, "/cuts/order", order="bout")
    before = (root / "cuts/baits.yaml").read_bytes()
    assert client.post("/cuts/undo", data=older).status_code == 409
    assert (root / "cuts/baits.yaml").read_bytes() == before


def test_a_new_list_is_taken_back_and_made_again(root: Path, open_client: OpenClient) -> None:
    client = open_client(root)
    sent(client, "/cuts", "/cuts/new", name="one")
    page = sent(client, "/cuts/list?name=one", "/cuts/undo")
    assert "Taken back: The list is begun." in page
    assert not (root / "cuts/one.yaml").exists()
    page = sent(client, "/cuts?gone=one", "/cuts/undo")
    assert (root / "cuts/one.yaml").exists()
    assert ">The list is begun.<" in page
    assert "Taken back" not in page


def test_a_list_is_deleted_and_brought_back(client: TestClient, root: Path) -> None:
    path = root / "cuts/baits.yaml"
    path.write_bytes(path.read_bytes() + b"# mine\ncuts: twice\n")
    before = path.read_bytes()
    shown = Forms(client.get("/cuts").text).first("/cuts/new")
    assert client.post("/cuts/delete", data={**shown, "name": "baits", "shown": "0"}).status_code == 409
    assert path.read_bytes() == before
    page = sent(client, LIST, "/cuts/delete")
    assert not path.exists()
    assert "The list baits is deleted." in page
    assert client.get(LIST).status_code == 404
    assert client.post("/cuts/delete", data={**shown, "name": "baits", "shown": ""}).status_code == 400
    sent(client, "/cuts?gone=baits", "/cuts/undo")
    assert path.read_bytes() == before


@pytest.mark.parametrize("undone", [False, True])
def test_where_a_list_is_gone_a_browser_offers_to_bring_it_back(
    root: Path, serve: Serve, tab: Page, undone: bool
) -> None:
    address = serve(root).address
    tab.goto(address + "/cuts")
    tab.get_by_label("Name", exact=True).fill("one")
    tab.get_by_role("button", name="Begin the list").click()
    tab.get_by_role("button", name="Take it back" if undone else "Delete the list").click()
    expect(tab.get_by_role("button", name="Bring it back")).to_be_visible()
    assert not (root / "cuts/one.yaml").exists()


def test_what_is_no_name_makes_no_file(client: TestClient, root: Path) -> None:
    before = sorted(path for path in root.parent.rglob("*") if ".fightnotes" not in path.parts)
    token = Forms(client.get("/cuts").text).first("/cuts/new")["token"]
    for name in ("../x", "/etc/passwd", "a\0b", "x" * 300, "..", "a/b", "a\\b", "é", "a.yaml", ""):
        forms = [("new", {"name": name}), ("add", {"new": name, "at": BOTH[0]}), ("add", {"list": name, "at": BOTH[0]})]
        forms += [
            (each, {"name": name, "place": "1", "to": "2"}) for each in ("move", "remove", "settings", "delete", "undo")
        ]
        for action, fields in forms:
            answer = client.post(f"/cuts/{action}", data={"token": token, **fields})
            assert answer.status_code == 400, (action, name)
        for page in ("list", "export"):
            assert client.get(f"/cuts/{page}", params={"name": name, "format": "edl"}).status_code == 400
    assert sorted(path for path in root.parent.rglob("*") if ".fightnotes" not in path.parts) == before


def test_places_and_orders_that_are_not_there_are_said(client: TestClient, root: Path) -> None:
    form = Forms(client.get(LIST).text).first("/cuts/move", place="1")
    for action, more in (
        ("move", {"to": "5"}), ("move", {"to": "0"}), ("move", {"to": "x"}), ("move", {"to": "٣"}), ("take", {}),
        ("order", {"order": "hand"}), ("add", {"list": "baits", "at": "bouts/none.md:1"}), ("add", {"list": "baits"}),
        ("add", {"list": "none", "at": BOTH[0]}), ("new", {"name": "baits"}),
    ):  # fmt: skip
        assert client.post(f"/cuts/{action}", data={**form, **more}).status_code == 400, (action, more)
    assert lines(root) == list(BOTH)


def test_a_file_with_something_unreadable_is_shown_and_left_alone(client: TestClient, root: Path) -> None:
    path = root / "cuts/baits.yaml"
    form = Forms(client.get(LIST).text).first("/cuts/move", place="1")
    path.write_bytes(path.read_bytes() + b"  - {at: nowhere}\n")
    page = client.get(LIST).text
    assert "nothing of it is changed here" in page
    assert "/cuts/move" not in page
    before = path.read_bytes()
    client.post("/cuts/move", data={**form, "to": "2", "shown": ""})
    client.post("/cuts/add", data={**form, "list": "baits", "at": BOTH[0]})
    assert path.read_bytes() == before
    path.write_bytes(b"\xff\xfe")
    assert client.get(LIST).status_code == 409
    assert "bytes that are no UTF-8" in client.get("/cuts").text


def test_lost_moments_are_shown_with_what_is_offered(root: Path, open_client: OpenClient) -> None:
    open_library(root).build()
    open_library(root).create_list("baits", BOTH)
    note = root / FIRST
    note.write_text(note.read_text(encoding="utf-8").replace("R1 2:00-1:56", "R1 1:50"), encoding="utf-8")
    open_library(root).build()
    client = open_client(root)
    page = client.get(LIST).text
    assert "is not in the notes any more</p>" in page
    assert page.count("Offered in its place") == 1
    assert "3 cuts of 4 moments" in page
    page = sent(client, LIST, "/cuts/move", "/cuts/take", place="2")
    assert "4 cuts of 4 moments" in page
    assert "time: R1 1:50" in (root / "cuts/baits.yaml").read_text(encoding="utf-8")


def test_what_cannot_be_cut_and_what_is_joined_is_said(root: Path, open_client: OpenClient) -> None:
    client = open_client(root)
    open_library(root).create_list("baits", [*BOTH[:3], f"{FIRST}:13"])
    page = sent(client, LIST, "/cuts/settings", before="30", after="30")
    assert "In one cut with 2, 3:" in page
    assert "Not cut: untimed" in page
    sent(client, LIST, "/cuts/order", order="round")
    assert lines(root) == [*BOTH[:3], f"{FIRST}:13"]


def test_a_download_is_what_the_command_writes(
    client: TestClient, root: Path, fightnotes: RunCommand, tmp_path: Path
) -> None:
    """The disposition and the name: RFC 6266, 4.1 and 4.3."""
    for known in EXPORTS:
        folder = tmp_path / known.name
        written = ("--to", known.name, "--out", folder / f"baits{known.suffix}")
        fightnotes("cut", "--library", root, "--from", root / "cuts/baits.yaml", *written)
        files = {path.name: path.read_bytes() for path in folder.iterdir()}
        answer = client.get(f"/cuts/export?name=baits&format={known.name}")
        given, media_type = answer.headers["content-disposition"], answer.headers["content-type"].partition(";")[0]
        if known.one_counting:  # the footage counts at 25 and at 29.97
            assert (given, media_type) == (f'attachment; filename="baits-{known.name}.zip"', "application/zip")
            with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
                assert {name: archive.read(name) for name in archive.namelist()} == files
            assert sorted(files) == ["baits-25.edl", "baits-29.97-drop.edl"]
        else:
            assert (given, media_type) == (f'attachment; filename="baits{known.suffix}"', known.media_type)
            assert list(files.values()) == [answer.content]


def test_an_export_that_is_none(client: TestClient, root: Path) -> None:
    assert client.get("/cuts/export?name=baits&format=avi").status_code == 400
    assert client.get("/cuts/export?name=none&format=edl").status_code == 400
    open_library(root).create_list("empty")
    assert client.get("/cuts/export?name=empty&format=otio").status_code == 409
    assert "/cuts/export" not in client.get("/cuts/list?name=empty").text


def test_the_command_to_render_is_quoted_for_a_shell(root: Path, open_client: OpenClient) -> None:
    spaced = root.rename(root.with_name("it's mine"))
    client = open_client(spaced)
    open_library(spaced).create_list("baits", BOTH[:1])
    page = client.get(LIST).text
    assert "&#39;&#34;&#39;&#34;&#39;s mine/cuts/baits.yaml&#39; baits.mp4" in page


def test_cut_lists_are_no_notes_and_start_no_build(root: Path, client: TestClient, fightnotes: RunCommand) -> None:
    assert "cuts" not in fightnotes("check", "--library", root, "--format", "json").stdout
    assert open_library(root).store.changed_files() == []


def places(tab: Page) -> list[str]:
    """The moments of the list that is shown, by their links."""
    links = tab.locator(".cuts h3 a").evaluate_all("links => links.map(link => link.getAttribute('href'))")
    return [link.rpartition("at=")[2].replace("%3A", ":") for link in links]


def drag(tab: Page, place: int, to: int, below: bool) -> None:
    """A moment by its grip onto the upper or the lower edge of another; a drag begins and goes on with a move each."""
    other = tab.locator(f"#place-{to}")
    box = other.bounding_box()
    assert box is not None
    edge = {"x": 200, "y": box["height"] - 4 if below else 4}
    tab.locator(f"#place-{place} .grip").hover()
    tab.mouse.down()
    other.hover(position=edge)
    other.hover(position=edge)
    tab.mouse.up()


@pytest.fixture
def shown(root: Path, serve: Serve, tab: Page) -> Page:
    """A list of four moments in the browser."""
    running = serve(root)
    open_library(root).create_list("baits", BOTH)
    tab.set_viewport_size({"width": 1200, "height": 1800})  # a page that scrolls under a pressed button drags another
    tab.goto(running.address + LIST)
    return tab


def test_a_list_is_arranged_with_keys_and_pointer(root: Path, shown: Page) -> None:
    """Focus stays with the moment, and what was done is said: WAI-ARIA 1.2, `status`."""
    tab = shown
    tab.locator("#down-1").focus()
    tab.keyboard.press("Enter")
    expect(tab.locator("#heard")).to_contain_text("is at place 2 of 4. 4 cuts of 4 moments, 0:31.04")
    expect(tab.locator("#down-2")).to_be_focused()
    tab.keyboard.press("Space")
    expect(tab.locator("#down-3")).to_be_focused()
    tab.keyboard.press("Enter")
    expect(tab.locator("#up-4")).to_be_focused()
    assert places(tab) == [*BOTH[1:], BOTH[0]] == lines(root)

    drag(tab, 4, 1, below=False)
    expect(tab.locator("#heard")).to_contain_text("is at place 1 of 4.")
    assert lines(root) == list(BOTH) == places(tab)
    drag(tab, 1, 3, below=True)
    expect(tab.locator("#heard")).to_contain_text("is at place 3 of 4.")
    assert lines(root) == [BOTH[1], BOTH[2], BOTH[0], BOTH[3]]


def test_handles_are_set_and_the_list_is_taken_to_an_editor(root: Path, shown: Page) -> None:
    tab = shown
    assert faults_for_readers(tab) == []
    tab.get_by_label("Before", exact=True).fill("10")
    tab.keyboard.press("Enter")
    expect(tab.locator("#total")).to_contain_text("1:03.05")
    tab.locator("#place-2 summary").click()
    tab.locator("#place-2").get_by_label("Seconds before").fill("0")
    tab.locator("#keep-2").click()
    expect(tab.locator("#place-2")).to_contain_text("Its own handles: 0 s before, 2 s after.")
    expect(tab.locator("#keep-2")).to_be_focused()

    tab.get_by_label("After", exact=True).fill("soon")
    tab.keyboard.press("Enter")
    expect(tab.get_by_role("alert")).to_contain_text("found 'soon', expected seconds")
    tab.locator("#remove-4").click()
    expect(tab.locator("#remove-3")).to_be_focused()
    expect(tab.locator("#heard")).to_contain_text("is removed. 3 cuts")
    tab.locator("#undo").click()
    expect(tab.locator("#total")).to_contain_text("4 moments")

    with tab.expect_download() as download:
        tab.get_by_role("link", name="otio").click()
    assert download.value.suggested_filename == "baits.otio"
    assembly = open_library(root).assemble_list("baits")
    assert download.value.path().read_text(encoding="utf-8") == open_library(root).export(assembly, "otio")

    path = root / "cuts/baits.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("title: baits", "title: By hand"), encoding="utf-8")
    tab.locator("#up-2").click()
    expect(tab.get_by_role("alert")).to_contain_text("a change made meanwhile")
    expect(tab.get_by_role("heading", level=1)).to_have_text("By hand")

    tab.set_viewport_size({"width": 390, "height": 800})
    assert tab.evaluate("document.documentElement.scrollWidth") == 390
    assert faults_for_readers(tab) == []


def test_moments_are_added_from_the_search(root: Path, serve: Serve, tab: Page) -> None:
    tab.goto(serve(root).address + "/?q=jab+to+the+body")
    boxes = tab.locator("input[form=add-to-list]")
    boxes.nth(0).check()
    boxes.nth(1).check()
    tab.get_by_label("Name of a new list").fill("bodies")
    tab.get_by_role("button", name="Add").click()
    said = tab.locator("#add-to-list [role=status]")
    expect(said).to_have_text("Added: 2. Open bodies")
    assert len(lines(root, "bodies")) == 2
    expect(boxes.nth(0)).not_to_be_checked()
    tab.get_by_role("button", name="Add").click()
    expect(said).to_contain_text("no moment is ticked")
    boxes.nth(2).focus()
    tab.keyboard.press("Space")
    tab.get_by_role("button", name="Add").press("Enter")
    expect(said).to_have_text("Added: 1. Open bodies")
    said.get_by_role("link").click()
    tab.wait_for_url("**/cuts/list?name=bodies")
    assert places(tab) == lines(root, "bodies")


def test_without_script_the_forms_do_the_same(root: Path, serve: Serve, browser: Browser) -> None:
    running = serve(root)
    open_library(root).create_list("baits", BOTH)
    with browser.new_context(java_script_enabled=False) as context:
        tab = context.new_page()
        tab.goto(running.address + LIST)
        expect(tab.locator(".hint")).to_be_hidden()
        tab.locator("#up-3").click()
        tab.wait_for_url("**#place-2")
        assert lines(root) == [BOTH[0], BOTH[2], BOTH[1], BOTH[3]]
        tab.goto(running.address + "/?q=jab")
        tab.locator("input[form=add-to-list]").first.check()
        tab.get_by_label("Name of a new list").fill("jabs")
        tab.get_by_role("button", name="Add").click()
        expect(tab.get_by_role("heading", level=1)).to_have_text("jabs")
