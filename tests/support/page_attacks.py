"""Requests that no page of ours makes, and files changed under the page's hands.

Every attack follows from its seed alone.
"""

from __future__ import annotations

import io
import json
import random
import zipfile
import zlib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from urllib.parse import urlencode

from file_samples import EVERY_KEY, LEAST
from mutants import ARM, OFFERS, SHOP, VALUES, WANTS, mutant
from price_lists import lists, swelling

from gearchest.cli.page.fields import Field
from gearchest.cli.page.lathe_form import MAKING, SECTIONS
from gearchest.cli.page.requests import ASKED, TAKES
from gearchest.cli.page.setup_form import NAMES as SETUP_NAMES

HARM = "<img src=x onerror=harm()>"
"""Typed or sent; where it stands in a page as it is, it would run."""

TYPED = [
    *(value.strip('"') for value in VALUES), HARM, f'"{HARM}', f"'{HARM}", "\x00", "a\x00b",
    "\u202e2\u202c", "\u2066M6\u2069", "\u200f", "=1+1", "=HYPERLINK(1)", "@SUM(1)", "+1+1", "-1",
    "9" * 400, "9" * 5000, "1" + "0" * 20, "1e400", "1/0", "0/0", "x" * 100_000, "20 " * 3000,
    "1/" + "9" * 5000, "M" + "6" * 5000, "²", "٣", "１２", "½", "ǅ", "\r\n[[want]]\r\n", "'''",
    "{{ 7 * 7 }}", "%00", "%s%n", "../../etc/passwd", "\\", '"', "]", "}", "\x1b[2J", "\ud7ff",
    "\U0010ffff", "\ufeff", "\x7f", "\x85", "nan", "-inf", "1_000", "0x1p-3", "--out", "M6 M8",
    "100 mm", "-40 mm", "1e9 mm", "0 mm", "40/(48)/80", "20/20/20/20/20/20", "/", "()", "(", "A2",
]  # fmt: skip

IDENTS = [
    "", ".", "..", "want", "want.0", "want.-1.weight", "want.0.nothing", f"want.{'9' * 30}.pitch",
    f"want.{'9' * 5000}.pitch", "want.٠.pitch", "want.².pitch", "gears.special.0.teeth",
    "gears.special.59.teeth", "gears.special.60.teeth", f"banjo.slots.{'9' * 5000}.end",
    "banjo.slots.-1.end", "banjo.slots.1.end", "dividing.3.circles", "plate.0.0", "plate.-1.-1",
    f"plate.{'9' * 5000}.0", "plate.9999.9999", "plate.x", "plate.", "gearbox.plate", "name.name",
    "gears", "gears.owned.0", "__class__", "x" * 5000, "\x00", HARM, "leadscrew.pitch.pitch",
]  # fmt: skip

BUTTONS = [
    "undo", "redo", "pattern:mini-7-metric", "pattern:instrument-repair", "pattern:", "pattern:x",
    "pattern:../x", "sample:", "remove:wants:want.0", "remove:wants:want.99", "remove:wants:want",
    "remove:wants:", "remove:lathe:banjo", "remove:lathe:gearbox", "remove:lathe:banjo.slots.0",
    "remove:lathe:gears.special.0", "remove:lathe:dividing.0", "remove:lathe:gears",
    f"remove:wants:want.{'9' * 5000}", "remove:wants:want.-1", "remove:offers:x", "remove",
    "cure:lathe:0:0:x", f"cure:lathe:{'9' * 5000}:0:x", "cure:wants:-1:0:x", "cure:offers:0:0:x",
    "cure", "set:lathe:gears.owned:20 30", "set:lathe:name", "set:wants:want.0.pitch:M6", "set:::",
    "set:lathe:want.0.pitch:M6", "set", "got:63", "got:63,99999", "got:x", f"got:{'9' * 5000}",
    "got:٣", "got:0", "add:series", "add:pitches", "add:one=M6", "add:one=", f"add:one={HARM}",
    "add:x", "add", "ticks:", "ticks", "offers:every", "offers:text", "offers", "whole:lathe",
    "whole:wants", "whole:offers", "whole:x", "x:y", ":", "\x00",
]  # fmt: skip

PAGES: dict[str, tuple[str, ...]] = {
    "lathe": ("more",),
    "threads": ("series", "more"),
    "gears": ("more",),
    "papers": (),
    "files": ("name",),
    "buy": (),
    "setup": ("thread", "left", "inside", *SETUP_NAMES),
    "chart": ("with",),
    "blanks": ("teeth",),
    "compare": ("with",),
    "unknown": ("measured", "diameter", "inside", "angle"),
    "report": (),
    "offers": (),
    "strip": (),
    "live": (),
    "arm.svg": ("banjo.axis_distance", "banjo.swing", "banjo.slots.0.start", "banjo.slots.0.end",
                "banjo.slots.0.offset", "banjo.axis_angle", "banjo.driver_hub", "units"),
    "": ("key",),
}  # fmt: skip
"""Addresses of pages, and what each may be asked."""

QUICK = ("lathe", "threads", "gears", "papers", "files", "offers", "unknown", "strip", "live")
SLOW = ("buy", "setup", "chart", "blanks", "compare", "report")

GOOD = {"thread": "M6", "teeth": "63", "with": "american-12", "measured": "20tpi", "series": "ba"}


@dataclass(frozen=True)
class Sent:
    """One request; `path` with its query."""

    path: str
    body: bytes | None = None
    kind: str = "application/x-www-form-urlencoded"


@dataclass(frozen=True)
class Attack:
    """Files written into the folder first, then requests; `edits`: forms, after which the files
    can still be read."""

    kind: str
    files: dict[str, bytes]
    sent: tuple[Sent, ...]


def attack(seed: int, kind: str = "") -> Attack:
    """The attack of this seed, of a kind, or of any."""
    rng = random.Random(seed)
    kind = kind or rng.choice([*KINDS])
    return KINDS[kind](rng, seed)


def _good_files(rng: random.Random) -> dict[str, bytes]:
    lathe = rng.choice([LEAST + ARM, LEAST + SHOP, EVERY_KEY])
    return {"lathe.toml": lathe.encode(), "wants.toml": WANTS.encode(),
            "offers.csv": OFFERS.encode()}  # fmt: skip


def _on_disk(rng: random.Random, seed: int) -> Attack:
    """A file spoilt by another program while the page is open."""
    names = [*rng.sample(QUICK, 3), rng.choice(SLOW)]
    sent = [Sent(f"/{name}?{urlencode({k: GOOD[k] for k in PAGES[name] if k in GOOD})}")
            for name in names]  # fmt: skip
    return Attack("disk", mutant(seed).files, tuple(sent))


def _form(rng: random.Random, seed: int) -> Attack:
    """Fields and buttons that no form of ours has, or with what nobody types."""
    files = mutant(seed).files if rng.random() < 0.3 else _good_files(rng)
    pairs: list[tuple[str, str]] = [("sheet", rng.choice(["lathe", "threads", "gears", "files"]))]
    if rng.random() < 0.1:
        pairs[0] = ("sheet", rng.choice(TYPED))
    for _ in range(rng.choice([0, 1, 1, 1, 2, 5])):
        ident = rng.choice(_idents()) if rng.random() < 0.8 else rng.choice(IDENTS)
        pairs.append((f"v:{ident}", rng.choice(TYPED)))
        if rng.random() < 0.2:
            pairs.append((f"w:{ident}", rng.choice(TYPED)))
        if rng.random() < 0.1:
            pairs.append((f"v:{ident}", rng.choice(TYPED)))
    if rng.random() < 0.6 or len(pairs) == 1:
        pairs.append(("do", rng.choice(BUTTONS)))
        for key in rng.sample(["series", "from", "to", "weight", "inside", "pitches", "offers",
                               "text", "digest"], rng.randrange(4)):  # fmt: skip
            pairs.append((f"a:{key}", rng.choice(TYPED)))
        for key in rng.sample(["size", "shown"], rng.randrange(3)):
            pairs += [(key, rng.choice(["M6", "2 BA", *TYPED[:30]])) for _ in range(3)]
    body = urlencode(pairs, errors="surrogatepass").encode()
    if rng.random() < 0.15:
        body = _spoilt(body, rng)
    sheet = rng.choice(["/lathe", "/threads", "/gears", "/files"])
    return Attack("form", files, (Sent("/edit", body), Sent(sheet)))


def _table(rng: random.Random, seed: int) -> Attack:
    """A table dropped that is none, or far more than it looks."""
    ending, data = rng.choice([*_tables().values()])
    for _ in range(rng.choice([0, 1, 1, 3])):
        data = _repacked(data, rng) if data[:2] == b"PK" and rng.random() < 0.7 else (
            _spoilt(data, rng))  # fmt: skip
    name = rng.choice([f"list{ending}", f"list{ending}", "x", rng.choice(TYPED[:60]), ".xlsx",
                       "l.ods", "l.XLSX", "l.xlsm", "l.csv"])  # fmt: skip
    use = rng.choice(["gears", "offers", "offers", "", rng.choice(TYPED[:60])])
    query = urlencode({"name": name[:2000], "for": use[:2000]}, errors="surrogatepass")
    return Attack("table", {}, (Sent(f"/table?{query}", data, "application/octet-stream"),))


def _api(rng: random.Random, seed: int) -> Attack:
    """Requests of programs with wrong keys, values and bytes."""
    command = rng.choice([*ASKED, *ASKED, "x"])
    values = json.loads(json.dumps(_requests()[command])) if command in ASKED else {}
    for _ in range(rng.choice([1, 1, 2, 4])):
        _spoil_values(values, rng)
    if command == "plan":  # what is asked for stays small, whatever is asked
        options = values.get("options")
        if isinstance(options, dict):
            options["time_limit"] = 3
    body = json.dumps(values).encode()
    if rng.random() < 0.2:
        body = _spoilt(body, rng)
    return Attack("api", {}, (Sent(f"/api/{command}", body, "application/json"),))


def _query(rng: random.Random, seed: int) -> Attack:
    """Pages asked what nobody asks."""
    sent = []
    for name in (rng.choice([*PAGES]), rng.choice(QUICK)):
        keys = [*PAGES[name], *rng.sample(["x", HARM, "\x00", "série"], 1)]
        pairs = [(key, GOOD[key]) for key in keys if key in GOOD and rng.random() < 0.7]
        for key in rng.sample(keys, min(len(keys), rng.choice([1, 1, 2, 4]))):
            pairs.append((key, rng.choice(TYPED)[:8000]))
        query = urlencode(pairs, errors="surrogatepass")
        if rng.random() < 0.1:
            query += rng.choice(["&&&=;", "%ff%fe%00", "?", "&" * 2000, "%", "&thread", "+"])
        sent.append(Sent(f"/{name}?{query}"))
    return Attack("query", _good_files(rng), tuple(sent))


KINDS: dict[str, Callable[[random.Random, int], Attack]] = {
    "disk": _on_disk, "form": _form, "table": _table, "api": _api, "query": _query,
}  # fmt: skip


def pieces(seed: int, port: int, cookie: str) -> list[bytes]:
    """What is sent over a bare connection, piece by piece: requests that are none, or too much."""
    rng = random.Random(seed)
    head = f"Host: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\nCookie: {cookie}\r\n"
    get = f"GET /strip HTTP/1.1\r\n{head}\r\n".encode()
    post = f"POST /edit HTTP/1.1\r\n{head}".encode()
    chunked = post + b"Transfer-Encoding: chunked\r\n"
    some: list[bytes] = rng.choice([
        [get[: rng.randrange(len(get))]],
        [get * rng.choice([2, 20, 200])],
        [get, b"\x00" * 100, get],
        [get[:20], get[20:], get],
        [b"GET /" + b"x" * rng.choice([5000, 70_000, 1_000_000]) + get[10:]],
        [get[:-2] + b"X: " + b"y" * rng.choice([5000, 70_000, 1_000_000]) + b"\r\n\r\n"],
        [get[:-2] + b"".join(b"X-%d: y\r\n" % i for i in range(rng.choice([50, 5000]))) + b"\r\n"],
        [get.replace(b"\r\n", b"\n")], [get.replace(b" ", b"  ")], [get.replace(b"1.1", b"9.9")],
        [get.replace(b"1.1", b"1.0")], [get.replace(b"GET", rng.choice([b"g", b"HEAD", b"G\x00T",
                                        b"CONNECT", b"PRI", b"x" * 2000]))],
        [get[:-2] + b"Connection: Upgrade\r\nUpgrade: websocket\r\n\r\n"],
        [get[:-2] + b"Expect: 100-continue\r\nContent-Length: 5\r\n\r\n", b"a=b&c"],
        [post + b"Content-Length: 10\r\n\r\nsheet"],
        [post + b"Content-Length: 5\r\n\r\nsheet" + get],
        [post + b"Content-Length: 5\r\nContent-Length: 6\r\n\r\nsheet="],
        [post + b"Content-Length: " + rng.choice([b"-1", b"9" * 5000, b"5x", b"\xb2", b"0x5", b""])
         + b"\r\n\r\nsheet"],
        [chunked + b"\r\n" + rng.choice([b"5\r\nsheet\r\n0\r\n\r\n", b"5\r\nsh", b"zz\r\n",
                                       b"ffffffffffffffffff\r\nx", b"-5\r\nsheet\r\n"])],
        [chunked + b"Content-Length: 5\r\n\r\n5\r\nsheet\r\n0\r\n\r\n"],
        [b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + rng.randbytes(500)],
        [rng.randbytes(rng.choice([1, 100, 100_000]))],
    ])  # fmt: skip
    if rng.random() < 0.3:
        some = [_spoilt(b"".join(some)[:3000], rng)]
    if rng.random() < 0.2:
        whole = b"".join(some)[:400]
        some = [whole[i : i + 40] for i in range(0, len(whole), 40)]
    return some


@cache
def _idents() -> list[str]:
    """The names of all fields of the page."""
    counts = {part.ident: 2 for section in (*SECTIONS, *MAKING) for part in section.parts
              if not isinstance(part, Field)}  # fmt: skip
    own = [each.ident for section in (*SECTIONS, *MAKING) for each in section.every(counts)]
    keys = ("pitch", "series", "from", "to", "weight", "inside", "left", "tolerance", "use",
            "engaged", "mating", "grade", "name", "diameter")  # fmt: skip
    return [*own, *(f"want.{n}.{key}" for n in (0, 2, 5, 6) for key in keys)]


@cache
def _tables() -> dict[str, tuple[str, bytes]]:
    """Good tables to begin with, and those that swell or reach outside."""
    entity = ('<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd"><!ENTITY b "' + "&a;" * 10
              + '">]>')  # fmt: skip
    laughs = '<!DOCTYPE x [<!ENTITY l0 "63">' + "".join(
        f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10)
    ) + "]>"  # fmt: skip
    found = dict(lists())
    for name, (ending, data) in lists().items():
        if ending in (".xlsx", ".ods"):
            found[f"{name}, entities"] = (ending, _with_head(data, entity, "&a;&b;"))
            found[f"{name}, laughs"] = (ending, _with_head(data, laughs, "&l9;"))
    found["swelling"] = (".ods", swelling(1_048_576, 16_384))
    found["zeros"] = (".xlsx", _packed({"xl/worksheets/sheet1.xml": bytes(150_000_000)}))
    found["deep"] = (".xlsx", _packed({"xl/worksheets/sheet1.xml": b"<c>" * 300_000}))
    found["out"] = (".ods", _packed({"../content.xml": b"x", "content.xml": b"<table:table"}))
    return found


def _with_head(data: bytes, head: str, used: str) -> bytes:
    """A spreadsheet whose parts declare entities, and use them in the first text."""
    parts = _parts(data)
    for name, part in parts.items():
        if name.endswith(".xml") and b"?>" in part:
            xml = part.replace(b"?>", b"?>" + head.encode(), 1)
            for tag in (b"<t>", b"<text:p>", b"<v>"):
                xml = xml.replace(tag, tag + used.encode(), 1)
            parts[name] = xml
    return _packed(parts)


def _parts(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def _packed(parts: dict[str, bytes]) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, part in parts.items():
            packed.writestr(name, part)
    return held.getvalue()


def _repacked(data: bytes, rng: random.Random) -> bytes:
    """A spreadsheet with a part of it spoilt; as bytes where it is none any more."""
    try:
        parts = _parts(data)
    except (zipfile.BadZipFile, zlib.error, ValueError, OSError, NotImplementedError, EOFError):
        return _spoilt(data, rng)
    if not parts:
        return _spoilt(data, rng)
    sheets = [name for name in parts if "sheet" in name or name == "content.xml"]
    name = rng.choice(sheets if sheets and rng.random() < 0.7 else [*parts])
    if rng.random() < 0.1:
        del parts[name]
    elif len(parts[name]) < 1_000_000:
        parts[name] = _spoilt(parts[name], rng)
    return _packed(parts)


def _spoilt(data: bytes, rng: random.Random) -> bytes:
    """Bytes changed, put in, taken out, doubled; or a number or a value made another."""
    at = rng.randrange(len(data) + 1)
    gone = rng.choice([0, 0, 1, 5, 200])
    new = rng.choice([b"", b"\x00", b"\xff", b"\xfe\xff", b"<", b'"', b"&", b"=", b";", b",", b"[",
                      b"1" * 5000, b"9999999", b"-1", b"1e999", b"%", b"\n"])  # fmt: skip
    kind = rng.random()
    if kind < 0.6:
        return data[:at] + new + data[at + gone :]
    if kind < 0.7:
        return data[:at]
    if kind < 0.8:
        return data[:at] + data[max(0, at - 500) :]
    if kind < 0.9:
        return data.replace(rng.choice([b"1", b"6", b"3", b"0"]), rng.choice(
            [b"-", b"9999", b"NaN", b"", b"\x00"]), rng.choice([1, 3]))  # fmt: skip
    return bytes(255 - byte for byte in data[:200_000])


@cache
def _requests() -> dict[str, dict[str, object]]:
    """A good request of each command."""
    lathe = {
        "name": "shop", "leadscrew": {"pitch": "8 tpi"},
        "gears": {"module": 1.0, "owned": [20, 30, 40, 50, 60, 63, 80], "face_width": "8 mm"},
        "banjo": {"axis_distance": 60, "slots": [{"start": 15, "end": 60}]},
    }  # fmt: skip
    wants = [{"pitch": "M6"}, {"pitch": "11 tpi", "tolerance": "0.1 %", "weight": 2}]
    offers = [{"teeth": 63, "price": 12.5}, {"teeth": 127, "price": 30, "how": "buy"}]
    options: dict[str, dict[str, object]] = {
        "plan": {"most": 1, "time_limit": 3},
        "reach": {"pitches": ["M10", "11 tpi"]},
        "setup": {"pitch": "M8", "length": "30 mm", "diameter": "8 mm", "load": "1 kN"},
        "blanks": {"teeth": [63, 20], "shift": 0.1, "hub": ["20 mm", "5 mm"]},
        "chart": {"with": [63], "time_limit": 2},
        "threads": {"measured": "10 threads in 15.1 mm", "diameter": "11.9 mm"},
    }
    held = {"lathe": lathe, "also": lathe, "wants": wants, "offers": offers,
            "lathes": [lathe, "mini-7-inch"]}  # fmt: skip
    return {
        name: {**{key: held[key] for key in TAKES[name] if key != "also"},
               "options": options.get(name, {})}
        for name in ASKED
    }  # fmt: skip


def _spoil_values(values: object, rng: random.Random) -> None:
    """One value somewhere inside made another, a key renamed, or taken out."""
    here, depth = values, 0
    while True:
        inner = list(here.items()) if isinstance(here, dict) else (
            list(enumerate(here)) if isinstance(here, list) else [])  # fmt: skip
        if not inner:
            return
        key, value = rng.choice(inner)
        if isinstance(value, (dict, list)) and value and rng.random() < 0.8:
            here, depth = value, depth + 1
            continue
        break
    assert isinstance(here, (dict, list))
    kind = rng.random()
    if kind < 0.1:
        del here[key]
    elif kind < 0.2 and isinstance(here, dict):
        here[rng.choice([*TYPED[:80], str(key)[1:], "x"])] = here.pop(key)
    else:
        here[key] = rng.choice(_SENT)()


_SENT: list[Callable[[], object]] = [
    *((lambda value=value: value) for value in (
        None, True, False, 0, -1, 1, 0.5, 1e-9, 1e300, 2**63, 10**25, -0.0, "", [], {}, [[]],
        [1], [None], {"a": 1}, ["M6"], "M6", "63", "0 mm", "1e9 mm", "1/0", "\x00", "\u202e", HARM,
        "\ud800", float("nan"), float("inf"),
    )),
    *((lambda value=value: value) for value in TYPED if len(value) < 200),
    lambda: "x" * 100_000,
    lambda: [20] * 3000,
    lambda: [{"pitch": "M6"}] * 2500,
    lambda: _nested(200),
]  # fmt: skip


def _nested(depth: int) -> object:
    value: object = 1
    for _ in range(depth):
        value = [value]
    return value
