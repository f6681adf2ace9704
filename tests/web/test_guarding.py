"""Who is let in, what goes out with every answer, and what no request can do.

Held against: RFC 6454 (Origin: its serialisation, `null`), Fetch (WHATWG; which requests carry Origin), Fetch Metadata
(W3C; Sec-Fetch-Site, -Mode, -Dest), Content Security Policy Level 3 (W3C), RFC 9110 (411, 413, 414, 405 with Allow,
HEAD), RFC 3986 (percent-encoding). From memory.
"""

from __future__ import annotations

import random
import socket
from pathlib import Path
from urllib.parse import quote_from_bytes

import pytest
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse
from starlette.routing import Route
from starlette.testclient import TestClient

from fightnotes.web.app import make_app
from fightnotes.web.guarding import HEADERS, reads, writes
from fightnotes.web.kept import KeptLibrary
from tests.web.conftest import ADDRESS, Served

ODD_HOSTS = (
    "127.0.0.1:",
    "127.0.0.1:8642x",
    "me@127.0.0.1",
    "[",
    "localhost.",
    "127.1",
    "0.0.0.0",
    "127.0.0.1/",
    "ⅼocalhost",
)
ELSEWHERE = (
    "null", "https://127.0.0.1", "http://127.0.0.1:9999", "http://localhost", "HTTP://127.0.0.1", "http://127.0.0.1/",
    "http://127.0.0.1.evil.example", "http://evil.example", "http://127.0.0.1 http://evil.example", "file://", "",
)  # fmt: skip


@pytest.fixture(scope="module")
def app(demo: Path) -> Starlette:
    """The demo's page with a route that fails and one that writes, beside its own."""
    app = make_app(KeptLibrary(demo))
    app.state.written = []

    def fails(request: object) -> PlainTextResponse:
        raise ZeroDivisionError("secret of the inside")

    def takes(request: object, form: object) -> PlainTextResponse:
        app.state.written.append(form)
        return PlainTextResponse("written")

    app.router.routes += [reads("/fails", fails), writes("/takes", takes)]
    return app


@pytest.fixture
def client(app: Starlette) -> TestClient:
    app.state.written.clear()
    return TestClient(app, base_url=ADDRESS, raise_server_exceptions=False)


def routes(app: Starlette, method: str) -> list[str]:
    return [route.path for route in app.routes if isinstance(route, Route) and method in (route.methods or ())]


def has_headers(answer: object) -> bool:
    return HEADERS.items() <= dict(answer.headers).items() and "cache-control" in answer.headers  # type: ignore[attr-defined]


@pytest.mark.parametrize("host", ODD_HOSTS)
def test_odd_hosts_are_refused(client: TestClient, host: str) -> None:
    answer = client.get("/", headers={"host": host.encode()})
    assert (answer.status_code, has_headers(answer)) == (403, True)


@pytest.mark.parametrize("host", ["127.0.0.1", "127.0.0.1:8642", "localhost", "LocalHost:80"])
def test_own_hosts_are_let_in(client: TestClient, host: str) -> None:
    assert client.get("/bouts", headers={"host": host}).status_code == 200
    assert client.get("/bouts", headers={"host": host, "origin": f"http://{host.lower()}"}).status_code == 200


def test_two_hosts_are_none(client: TestClient) -> None:
    assert client.get("/", headers=[("host", "127.0.0.1"), ("host", "evil.example")]).status_code == 403


@pytest.mark.parametrize("origin", ELSEWHERE)
def test_other_origins_read_and_write_nothing(client: TestClient, app: Starlette, origin: str) -> None:
    for method, path in (("GET", "/bouts"), ("POST", "/takes")):
        answer = client.request(method, path, headers={"origin": origin}, data={"token": app.state.token})
        assert answer.status_code == 403, method
    assert app.state.written == []


@pytest.mark.parametrize(
    ("site", "mode", "what", "method", "status"),
    [
        ("same-origin", "cors", "empty", "GET", 200),
        ("none", "navigate", "document", "GET", 200),
        ("cross-site", "navigate", "document", "GET", 200),  # a link that somebody follows
        ("cross-site", "navigate", "iframe", "GET", 403),
        ("cross-site", "no-cors", "image", "GET", 403),
        ("same-site", "no-cors", "script", "GET", 403),  # another port of this machine
        ("cross-site", "navigate", "document", "POST", 403),
        ("same-site", "navigate", "document", "POST", 403),
        ("same-origin", "navigate", "document", "POST", 200),
    ],
)
def test_what_another_site_embeds_is_refused(
    client: TestClient, app: Starlette, site: str, mode: str, what: str, method: str, status: int
) -> None:
    told = {"sec-fetch-site": site, "sec-fetch-mode": mode, "sec-fetch-dest": what}
    path = "/bouts" if method == "GET" else "/takes"
    assert client.request(method, path, headers=told, data={"token": app.state.token}).status_code == status


def test_every_write_needs_the_token(client: TestClient, app: Starlette) -> None:
    for path in routes(app, "POST"):
        for form in ({}, {"token": ""}, {"token": "wrong"}, {"token": app.state.token[:-1]}, {"token": "é\ud800"}):
            data = {name: value.encode("utf-8", "surrogatepass") for name, value in form.items()}
            answer = client.post(path, data=data or None, content=None if data else b"")
            assert (answer.status_code, has_headers(answer)) == (403, True), path
        answer = client.post(path, files={"token": ("token", app.state.token)})
        assert answer.status_code == 403, path
    assert app.state.written == []


def test_every_route_either_reads_or_writes(app: Starlette) -> None:
    methods = {frozenset(route.methods or ()) for route in app.routes if isinstance(route, Route)}
    assert methods == {frozenset({"GET", "HEAD"}), frozenset({"POST"})}
    assert all(isinstance(route, Route) for route in app.routes)


def test_how_long_a_form_may_be(client: TestClient, app: Starlette) -> None:
    token = app.state.token
    assert client.post("/takes", data={"token": token, "text": "x" * (2**20 - 100)}).status_code == 200
    assert client.post("/takes", data={"token": token, "text": "x" * 2**20}).status_code == 413
    in_pieces = client.post("/takes", content=iter([f"token={token}".encode()]))
    assert in_pieces.status_code == 411
    assert client.post("/takes", content=b"", headers={"content-length": "-1"}).status_code == 413
    assert client.post("/takes", data={"token": token, "text": "a\0b"}).status_code == 400
    assert len(app.state.written) == 1


def test_methods(client: TestClient, app: Starlette) -> None:
    for path in routes(app, "GET"):
        others = {"POST", "PUT", "DELETE", "PATCH", "OPTIONS"} - ({"POST"} if path in routes(app, "POST") else set())
        for method in sorted(others):
            answer = client.request(method, path.replace("{name}", "x"))
            assert (answer.status_code, has_headers(answer)) == (405, True), path
            assert "GET" in answer.headers["allow"]
    assert client.get("/takes").status_code == 405
    whole, head = client.get("/bouts"), client.head("/bouts")
    assert (head.status_code, head.content) == (200, b"")
    assert head.headers["content-length"] == whole.headers["content-length"]


def test_every_answer_has_the_headers(client: TestClient) -> None:
    statuses = {
        path: answer.status_code
        for path in (
            "/",
            "/bouts",
            "/style.css",
            "/nowhere",
            "/fails",
            "/script/none.js",
            "/script/..%2fapp.py",
            "/%00",
        )
        if has_headers(answer := client.get(path))
    }
    assert list(statuses.values()) == [200, 200, 200, 404, 500, 404, 404, 400]


def test_the_policy_lets_nothing_in_from_elsewhere(client: TestClient) -> None:
    given = client.get("/").headers["content-security-policy"]
    policy = {words[0]: words[1:] for words in (part.split() for part in given.split(";"))}
    assert policy.pop("default-src") == ["'none'"]
    assert {source for sources in policy.values() for source in sources} == {"'self'", "'none'"}
    # default-src does not stand for these (CSP3, 6.3 and 6.4)
    assert {"form-action", "base-uri", "frame-ancestors"} <= policy.keys()


def test_an_unforeseen_exception_says_nothing_of_the_inside(app: Starlette, client: TestClient) -> None:
    page = client.get("/fails").text
    assert "nobody foresaw" in page
    assert not [word for word in ("secret", "ZeroDivision", "Traceback", ".py") if word in page]
    with pytest.raises(ZeroDivisionError):  # it goes on to the server, which writes it out
        TestClient(app, base_url=ADDRESS).get("/fails")


ODD = (
    "%",
    "%zz",
    "%00",
    "%ED%A0%80",
    "%FF%FE",
    "%u0041",
    "a%0d%0aset-cookie:x=1",
    "../../etc/passwd",
    "-1",
    "9" * 400,
    "\u202e",
)
NAMES = (
    "q", "id", "at", "bout", "recording", "name", "tag", "by", "on", "outcome", "rounds", "since", "limit", "page",
)  # fmt: skip


def test_no_parameter_breaks_a_page(client: TestClient, app: Starlette) -> None:
    """Also of pages that know none of these names."""
    for path in routes(app, "GET"):
        if path == "/fails":
            continue
        for odd in ODD:
            query = "&".join(f"{name}={odd}" for name in NAMES)
            answer = client.get(f"{path.replace('{name}', odd)}?{query}")
            assert answer.status_code < 500, (path, odd)
            assert has_headers(answer)
            assert "set-cookie" not in answer.headers


def test_no_bytes_break_the_search(client: TestClient) -> None:
    chance = random.Random(20310308)
    for _ in range(20):
        wild = quote_from_bytes(chance.randbytes(chance.randint(1, 40)))
        assert client.get(f"/?q={wild}").status_code in (200, 400), wild


def test_long_addresses(client: TestClient) -> None:
    assert client.get("/?q=" + "jab%20" * 1000).status_code == 200
    assert client.get("/?q=" + "jab%20" * 4000).status_code == 414
    assert client.get("/" + "a" * 2**15).status_code == 414


@pytest.mark.parametrize(
    "start", [b"GET /?q=\xff\xfe HTTP/1.1", b"GET /\x00 HTTP/1.1", b"GET / HTTP/9", b"\x16\x03\x01"]
)
def test_what_is_no_request_gets_no_page(demo_served: Served, start: bytes) -> None:
    port = int(demo_served.address.rpartition(":")[2])
    with socket.create_connection(("127.0.0.1", port), timeout=20) as connection:
        connection.sendall(start + b"\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n")
        assert connection.recv(65536).startswith(b"HTTP/1.1 400 ")
