"""The page's server under attack by those who are let in: spoilt files, forms, tables, requests and
addresses are answered, or refused in words, and leave nothing broken behind."""

from __future__ import annotations

import json
import re
import socket
import tomllib
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from pathlib import Path
from urllib.parse import urlencode

import httpx
import pytest
from file_samples import LEAST
from mutants import WANTS
from page_attacks import HARM, KINDS, Attack, Sent, attack, pieces
from page_server import Served, served

SEEDS = range(16)
"""Of each kind; page_attack.py tries more."""

ANSWERED = {"disk": {200, 204, 422}, "query": {200, 204, 400, 422}, "form": {200, 422},
            "table": {200, 422}, "api": {200, 404, 422}}  # fmt: skip

OWN = ("fault of its own", "Traceback", "more memory than it may", "too much memory")
"""What no answer holds."""


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with served(tmp_path_factory.mktemp("shop"), solver=True) as running:
        yield running


def wrong(server: Served, client: httpx.Client, bad: Attack) -> Iterator[str]:
    """What is wrong with how the server takes an attack."""
    desk = server.session.desk
    assert desk is not None
    folder = desk.shelf.folder
    for name, content in bad.files.items():
        (folder / name).write_bytes(content)
    before = files(folder)
    for sent in bad.sent:
        for said in answered(client, bad.kind, sent):
            yield f"{said}: {sent.path[:200]} {(sent.body or b'')[:300]!r}"
    if bad.kind == "form" and not re.search(rb"whole|undo|redo", bad.sent[0].body or b""):
        for name, content in files(folder).items():
            if content != before.get(name) and not parses(name, content):
                yield f"{name} was good and is not: {(bad.sent[0].body or b'')[:300]!r}"


def files(folder: Path) -> dict[str, bytes]:
    """What stands in a folder."""
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def parses(name: str, content: bytes) -> bool:
    """Whether a file can be read at all."""
    try:
        text = content.decode("utf-8")
        if name.endswith(".toml"):
            tomllib.loads(text.replace("\r\n", "\n"))
    except ValueError:
        return False
    return True


def answered(client: httpx.Client, kind: str, sent: Sent) -> Iterator[str]:
    """What is wrong with one answer."""
    if sent.body is None:
        reply = client.get(sent.path)
    else:
        reply = client.post(sent.path, content=sent.body, headers={"content-type": sent.kind})
    if reply.status_code not in ANSWERED[kind]:
        yield f"{reply.status_code} {reply.text[:300]}"
    page = "json" not in reply.headers.get("content-type", "")
    for words in (*OWN, HARM) if page else OWN:
        if words in reply.text:
            at = reply.text.index(words)
            yield f"{words}: {reply.text[max(0, at - 100) : at + 300]}"
    if reply.status_code == 422 and not told(reply):
        yield f"refused without a word: {reply.text[:300]}"


def unheeded(server: Served, seed: int) -> str:
    """What is wrong with the answer to bytes over a bare connection, if anything is."""
    found = b""
    with socket.create_connection(("127.0.0.1", server.keys.port), timeout=60) as line:
        with suppress(ConnectionError):  # closed while still sending
            for piece in pieces(seed, server.keys.port, f"{server.keys.cookie}={server.keys.kept}"):
                line.sendall(piece)
            line.shutdown(socket.SHUT_WR)
        try:
            while part := line.recv(1_000_000):
                found += part
        except ConnectionError:
            pass
        except TimeoutError:
            return "held on to"
    if found and not re.match(rb"HTTP/1\.[01] (?:[1234]\d\d|503) ", found):
        return repr(found[:300])
    return "a fault of its own" if re.search(rb"fault of its own|HTTP/1.1 500", found) else ""


def told(reply: httpx.Response) -> bool:
    """Whether a refusal says why."""
    if reply.headers["content-type"].startswith("application/json"):
        found = json.loads(reply.text)
        why = found.get("why") or [fault["why"] for fault in found["faults"]]
        return bool(why) and all(why)
    return "text/html" not in reply.headers["content-type"] or 'class="note"' in reply.text


FIGURES = "9" * 5000

FOUND = [
    ("query", Sent("/unknown?diameter=1")),
    ("api", Sent("/api/reach", b'{"lathe": "\\ud800"}', "application/json")),
    ("api", Sent("/api/check", b'{"\\udfff": 1}', "application/json")),
    *(("form", Sent("/edit", urlencode({"sheet": "lathe", "do": do}).encode()))
      for do in (f"remove:wants:want.{FIGURES}", f"cure:lathe:{FIGURES}:0:x", f"got:{FIGURES}")),
    *(("form", Sent("/edit", urlencode({"sheet": "lathe", f"v:{ident}": typed}).encode()))
      for ident, typed in ((f"want.{FIGURES}.pitch", "M6"), (f"banjo.slots.{FIGURES}.end", "1"),
                           ("plate.0.0", "a\x00\x1bb"), (f"plate.{FIGURES}.0", "1"),
                           ("plate.999999.0", "1"))),
    ("table", Sent("/table?for=gears&name=x.csv", f"teeth,qty\n20,{FIGURES}\n".encode(), "")),
]  # fmt: skip
"""What once was answered with a fault of the program."""


@pytest.mark.parametrize(("kind", "sent"), FOUND, ids=range(len(FOUND)))
def test_what_was_found_is_mended(server: Served, kind: str, sent: Sent) -> None:
    files = {"lathe.toml": LEAST.encode(), "wants.toml": WANTS.encode()}
    assert list(wrong(server, server.client(), Attack(kind, files, (sent,)))) == []


@pytest.mark.parametrize("kind", KINDS)
def test_attacks_are_answered_in_words(server: Served, kind: str) -> None:
    client = server.client()
    found = {seed: list(wrong(server, client, attack(seed, kind))) for seed in SEEDS}
    assert not {seed: said for seed, said in found.items() if said}
    assert client.get("/strip").status_code == 200


def test_bare_connections_are_answered_or_closed(server: Served) -> None:
    """Many of them at once."""
    with ThreadPoolExecutor(len(SEEDS)) as pool:
        found = dict(enumerate(pool.map(lambda seed: unheeded(server, seed), range(40))))
    assert not {seed: said for seed, said in found.items() if said}
    assert server.client().get("/lathe").status_code == 200
