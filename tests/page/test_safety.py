"""Who is answered: attacks from other origins, other names and other programs, and clients that
ask too much or too slowly."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import httpx
import pytest
from page_server import Served, served

from gearchest.cli.faults import FaultsError
from gearchest.cli.page.listening import listen
from gearchest.cli.page.serving import PromptProtocol

SECRET = "outside the folder"


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("work") / "shop"
    folder.mkdir()
    (folder.parent / "secret.toml").write_text(f'name = "{SECRET}"\n', encoding="utf-8")
    with served(folder, body_seconds=1.0) as running:
        yield running


def raw(server: Served, request: bytes, wait: float = 10) -> bytes:
    """What comes back for bytes sent as they are."""
    with socket.create_connection(("127.0.0.1", server.keys.port), timeout=wait) as line:
        line.sendall(request)
        found = b""
        try:
            while part := line.recv(65536):
                found += part
        except (TimeoutError, ConnectionError):
            pass
        return found


def test_it_listens_on_the_loopback_address_alone(server: Served) -> None:
    with listen(0) as own:
        assert own.getsockname()[0] == "127.0.0.1"
    own_name = socket.gethostbyname(socket.gethostname())
    if not own_name.startswith("127."):
        with pytest.raises(OSError, match=r"."):
            socket.create_connection((own_name, server.keys.port), timeout=2)


def test_the_key_of_the_address_becomes_a_cookie_that_no_script_and_no_site_has(
    server: Served,
) -> None:
    client = server.client(cookie=False)
    reply = client.get(f"/?key={server.keys.first}", follow_redirects=False)
    cookie = reply.headers["set-cookie"]
    assert reply.status_code == 303
    assert {"HttpOnly", "SameSite=Strict", "Path=/"} <= {p.strip() for p in cookie.split(";")}
    assert server.keys.first not in cookie
    assert reply.headers["location"] == "/"
    assert client.get("/lathe").status_code == 200


@pytest.mark.parametrize(
    "path", ["/", "/lathe", "/static/page.css", "/events", "/api/openapi.json"]
)
def test_nothing_is_answered_without_the_key(server: Served, path: str) -> None:
    client = server.client(cookie=False)
    assert client.get(path).status_code == 403
    assert client.get(f"{path}?key=wrong").status_code == 403
    wrong = {"authorization": "Bearer wrong"}
    assert client.post("/api/check", json={}, headers=wrong).status_code == 403
    client.cookies.set(server.keys.cookie, "wrong")
    assert client.get(path).status_code == 403


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1", "127.0.0.1:1", "localhost.evil.example:{port}", ""]
)
def test_a_rebound_name_is_refused(server: Served, host: str) -> None:
    """The name resolves to us, the cookie and the key are right: the Host tells."""
    host = host.format(port=server.keys.port)
    request = (
        f"GET /lathe?key={server.keys.first} HTTP/1.1\r\nHost: {host}\r\n"
        f"Cookie: {server.keys.cookie}={server.keys.kept}\r\n"
        f"Authorization: Bearer {server.keys.first}\r\nConnection: close\r\n\r\n"
    )
    status = raw(server, request.encode()).split(b" ")[1]
    assert status in (b"403", b"400")


def test_two_hosts_are_refused(server: Served) -> None:
    own = f"127.0.0.1:{server.keys.port}"
    request = (
        f"GET /lathe HTTP/1.1\r\nHost: {own}\r\nHost: evil.example\r\n"
        f"Cookie: {server.keys.cookie}={server.keys.kept}\r\nConnection: close\r\n\r\n"
    )
    assert raw(server, request.encode()).split(b" ")[1] in (b"400", b"403")


@pytest.mark.parametrize("name", ["127.0.0.1", "localhost", "[::1]"])
def test_our_own_names_are_answered(server: Served, name: str) -> None:
    host = f"{name}:{server.keys.port}"
    headers = {"host": host, "origin": f"http://{host}"}
    assert server.client().get("/lathe", headers=headers).status_code == 200


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "https://127.0.0.1:{port}", "http://127.0.0.1:1",
               "http://localhost:{port}", ""]
)  # fmt: skip
def test_a_page_of_another_origin_changes_and_reads_nothing(server: Served, origin: str) -> None:
    """Even where the browser sends the cookie along."""
    client = server.client()
    headers = {"origin": origin.format(port=server.keys.port)}
    before = server.session.version
    form = {"sheet": "lathe", "do": "pattern:mini-7-metric"}
    assert client.post("/edit", data=form, headers=headers).status_code == 403
    assert client.get("/lathe", headers=headers).status_code == 403
    assert server.session.version == before


def test_a_form_without_its_origin_changes_nothing(server: Served) -> None:
    client = server.client()
    del client.headers["origin"]
    form = {"sheet": "lathe", "do": "pattern:mini-7-metric"}
    assert client.post("/edit", data=form).status_code == 403
    assert server.session.texts["lathe"] is None


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_a_picture_or_a_script_of_another_page_gets_nothing(server: Served, site: str) -> None:
    """Another port of this machine is the same site, so its requests carry the cookie."""
    client = server.client()
    del client.headers["origin"]
    headers = {"sec-fetch-site": site, "sec-fetch-mode": "no-cors"}
    assert client.get("/files", headers=headers).status_code == 403
    assert client.get("/files", headers={"sec-fetch-site": "same-origin"}).status_code == 200


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "TRACE", "PATCH"])
def test_other_methods_are_refused(server: Served, method: str) -> None:
    assert server.client().request(method, "/edit").status_code == 405


def test_pages_load_nothing_from_elsewhere_and_run_no_script_of_a_file(server: Served) -> None:
    policy = server.client().get("/lathe").headers["content-security-policy"]
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules["default-src"] == "'none'"
    assert rules["script-src"] == rules["style-src"] == rules["connect-src"] == "'self'"
    assert rules["frame-ancestors"] == rules["base-uri"] == "'none'"


@pytest.mark.parametrize(
    "path",
    ["/static/../../secret.toml", "/static/%2e%2e%2f%2e%2e%2fsecret.toml", "/static//etc/passwd",
     "/static/page.css%00", "/../secret.toml", "/compare?with=../secret.toml",
     "/compare?with=/etc/passwd", "/files?name=../secret.toml", "/threads?series=../secret"],
)  # fmt: skip
def test_no_path_of_a_request_is_opened(server: Served, path: str) -> None:
    request = (
        f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{server.keys.port}\r\n"
        f"Cookie: {server.keys.cookie}={server.keys.kept}\r\nConnection: close\r\n\r\n"
    )
    found = raw(server, request.encode())
    assert SECRET.encode() not in found
    assert b"root:" not in found


@pytest.mark.parametrize("name", ["../secret.toml", "/etc/passwd", "lathe/../../secret", ""])
def test_no_path_of_a_form_is_written(server: Served, name: str) -> None:
    form = {"sheet": "files", "do": f"whole:{name}", "a:text": "x", "a:digest": ""}
    server.client().post("/edit", data=form)
    secret = server.session.desk.shelf.folder.parent / "secret.toml"
    assert SECRET in secret.read_text(encoding="utf-8")


def test_a_body_of_a_hundred_megabytes_is_refused_at_once(server: Served) -> None:
    def told(length: str) -> bytes:
        return (
            f"POST /edit HTTP/1.1\r\nHost: 127.0.0.1:{server.keys.port}\r\n"
            f"Origin: {server.base}\r\n"
            f"Cookie: {server.keys.cookie}={server.keys.kept}\r\n{length}\r\n\r\n"
        ).encode()

    assert raw(server, told("Content-Length: 100000000")).split(b" ")[1] == b"413"
    piece = b"100000\r\n" + b"x" * 0x100000 + b"\r\n"
    found = b""
    with socket.create_connection(("127.0.0.1", server.keys.port), timeout=10) as line:
        try:
            line.sendall(told("Transfer-Encoding: chunked"))
            for _ in range(100):
                line.sendall(piece)
        except OSError:
            pass  # refused while still sending
        with suppress(OSError):
            found = line.recv(65536)
    assert found[:12] in (b"", b"HTTP/1.1 413")
    assert server.client().get("/lathe").status_code == 200


def test_a_slow_client_holds_nobody_up_and_is_let_go(server: Served) -> None:
    begun = (
        f"POST /edit HTTP/1.1\r\nHost: 127.0.0.1:{server.keys.port}\r\nOrigin: {server.base}\r\n"
        f"Cookie: {server.keys.cookie}={server.keys.kept}\r\nContent-Length: 100\r\n\r\nx"
    )
    lines = [socket.create_connection(("127.0.0.1", server.keys.port)) for _ in range(20)]
    try:
        for line in lines:
            line.sendall(begun.encode())
        start = time.monotonic()
        assert server.client().get("/lathe").status_code == 200
        assert time.monotonic() - start < 5
        lines[0].settimeout(10)
        assert lines[0].recv(100).split(b" ")[1] == b"408"
    finally:
        for line in lines:
            line.close()


def test_a_connection_on_which_nothing_comes_is_let_go(
    server: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(PromptProtocol, "seconds", 0.5)
    for begun in (b"", b"GET /lathe HT"):
        start = time.monotonic()
        assert raw(server, begun) == b""
        assert time.monotonic() - start < 8
    monkeypatch.undo()
    assert server.client().get("/lathe").status_code == 200


def test_two_hundred_requests_at_once_are_all_answered(server: Served) -> None:
    statuses: list[int] = []

    def ask() -> None:
        try:
            statuses.append(server.client().get("/strip").status_code)
        except httpx.HTTPError:
            statuses.append(0)

    threads = [threading.Thread(target=ask) for _ in range(200)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert len(statuses) == 200
    assert set(statuses) <= {200, 503}
    assert statuses.count(200) >= 100
    assert server.client().get("/lathe").status_code == 200


def test_a_port_that_is_taken_is_told() -> None:
    with listen(0) as first, pytest.raises(FaultsError) as raised:
        listen(first.getsockname()[1])
    (fault,) = raised.value.faults
    assert "cannot be had" in fault.problem
    assert "leave --port out" in fault.fix


def test_an_error_of_our_own_shows_no_traceback(
    server: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    from gearchest.cli.page import pages

    monkeypatch.setattr(pages, "strip", lambda session: 1 // 0)
    reply = server.client().get("/strip")
    assert reply.status_code == 500
    assert "ZeroDivisionError" in reply.text
    assert "Traceback" not in reply.text


def test_the_folder_is_a_name_never_a_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    with served(None) as server:
        client = server.client()
        for name in ("../x", "/tmp/x", "a/b", "..", "~", "a\\b", ".hidden", "x" * 80, ""):
            assert client.post("/start", data={"folder": name}).status_code == 422
        assert list(tmp_path.iterdir()) == []
        assert client.post("/start", data={"folder": "my shop"}).status_code == 200
        assert (tmp_path / "my shop").is_dir()
