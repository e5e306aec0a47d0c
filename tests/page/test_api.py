"""Requests of other programs: the documents of the commands, and the same faults."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from page_server import Served, served
from program import run

from gearchest.catalogs.lathes import lathe_file
from gearchest.cli.files.toml import read_toml
from gearchest.cli.page.requests import ASKED, TAKES

SHOP: dict[str, Any] = {
    "name": "shop",
    "leadscrew": {"pitch": "8 tpi"},
    "gears": {"module": 1.0, "owned": [20, 30, 40, 50, 60, 63, 80], "face_width": "8 mm"},
}


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with served(tmp_path_factory.mktemp("shop"), solver=True) as running:
        yield running


def ask(server: Served, command: str, request: Any) -> tuple[int, dict[str, Any]]:
    body = request if isinstance(request, (str, bytes)) else json.dumps(request)
    client = server.client(cookie=False)
    del client.headers["origin"]
    reply = client.post(f"/api/{command}", content=body, headers=server.bearer)
    return reply.status_code, reply.json()


def plain(values: Any) -> Any:
    """TOML's exact decimals as JSON has them."""
    return json.loads(json.dumps(values, default=float))


@pytest.fixture(scope="module")
def mini() -> dict[str, Any]:
    path = lathe_file("mini-7-metric")
    assert path is not None
    return plain(read_toml(path).values)  # type: ignore[no-any-return]


def command_line(tmp_path: Path, *arguments: object) -> dict[str, Any]:
    out = tmp_path / "out.json"
    result = run(*arguments, "--json", out, cwd=tmp_path)
    assert result.returncode in (0, 4), result.stderr
    return json.loads(out.read_text(encoding="utf-8"))  # type: ignore[no-any-return]


def test_reach_says_what_the_command_says(
    server: Served, tmp_path: Path, mini: dict[str, Any]
) -> None:
    asked = {"lathe": mini, "options": {"pitches": ["M10", "11 tpi"], "left": True}}
    status, found = ask(server, "reach", asked)
    assert status == 200
    assert found == command_line(tmp_path, "reach", "mini-7-metric", "M10", "11 tpi", "--left")


def test_setup_says_what_the_command_says(
    server: Served, tmp_path: Path, mini: dict[str, Any]
) -> None:
    asked = {"lathe": mini, "options": {"pitch": "M8", "length": "30 mm", "inside": True}}
    status, found = ask(server, "setup", asked)
    assert status == 200
    told = command_line(tmp_path, "setup", "mini-7-metric", "M8", "--length", "30 mm", "--inside")
    assert found == told


def test_plan_says_what_the_command_says(server: Served, tmp_path: Path) -> None:
    wants = [{"series": "iso-metric-coarse", "from": "M3", "to": "M12"}, {"pitch": "11 tpi"}]
    offers = [{"teeth": 63, "price": 12.5}, {"teeth": 127, "price": 30}]
    status, found = ask(server, "plan", {
        "lathe": "mini-7-inch", "wants": wants, "offers": offers, "options": {"most": 2},
    })  # fmt: skip
    assert status == 200
    (tmp_path / "wants.csv").write_text(
        "series,from,to,pitch\niso-metric-coarse,M3,M12,\n,,,11 tpi\n", encoding="utf-8"
    )
    (tmp_path / "offers.csv").write_text("teeth,price\n63,12.5\n127,30\n", encoding="utf-8")
    told = command_line(tmp_path, "plan", "mini-7-inch", "--wants", "wants.csv", "--offers",
                        "offers.csv", "--most", "2", "--no-charts", "--no-what-if")  # fmt: skip
    assert found == told


def test_chart_says_what_the_command_says(server: Served, tmp_path: Path) -> None:
    wants = [{"pitch": "M6"}, {"pitch": "M10"}, {"pitch": "11 tpi"}, {"pitch": "M8"}]
    status, found = ask(server, "chart", {
        "lathe": "mini-7-metric", "wants": wants, "options": {"with": [63]},
    })  # fmt: skip
    assert status == 200
    (tmp_path / "wants.csv").write_text("pitch\nM6\nM10\n11 tpi\nM8\n", encoding="utf-8")
    told = command_line(tmp_path, "chart", "mini-7-metric", "--wants", "wants.csv", "--with", "63")
    assert found == told


@pytest.mark.parametrize(
    ("command", "request_"),
    [
        ("compare", {"lathes": [SHOP, "mini-7-inch"], "wants": [{"pitch": "M6"}]}),
        ("blanks", {"lathe": SHOP, "wants": [{"pitch": "M6"}], "options": {"teeth": [63]}}),
        ("threads", {"options": {"series": "ba"}}),
        ("chart", {"lathe": SHOP, "wants": [{"pitch": "M6"}, {"pitch": "M10"}],
                   "options": {"with": [63, 84]}}),
        ("threads", {"lathe": SHOP, "options": {"measured": "10 threads in 15.1 mm",
                                                "diameter": "11.9 mm"}}),
        ("check", {"lathe": SHOP, "wants": [{"pitch": "M6"}],
                   "offers": [{"teeth": 63, "price": 1}]}),
    ],
)  # fmt: skip
def test_the_other_commands_answer(server: Served, command: str, request_: Any) -> None:
    status, found = ask(server, command, request_)
    assert status == 200
    assert found["version"] == 1
    assert found["kind"] == ("identify" if "measured" in str(request_) else command)


@pytest.mark.parametrize(
    ("command", "request_", "where", "cure"),
    [
        ("plan", {"lathe": {**SHOP, "gears": {"module": 1, "owned": [20, 40, "x"]}}},
         "lathe.gears.owned[2]", "write numbers"),
        ("plan", {"lathe": SHOP, "wants": [{"pitch": "M6"}, {"pitch": "3"}]}, "wants[1].pitch",
         'write "3 mm" or "3 tpi"'),
        ("plan", {"lathe": SHOP, "offers": [{"teeth": 63, "price": "dear"}]}, "offers[0].price",
         "write"),
        ("plan", {"lathe": {**SHOP, "leadscru": {}}}, "lathe.leadscru", ""),
        ("plan", {"lathe": SHOP, "options": {"mots": 2}}, "options.mots", 'did you mean "most"?'),
        ("plan", {"lathe": SHOP, "wnats": []}, "wnats", 'did you mean "wants"?'),
        ("plan", {}, "lathe", "send"),
        ("reach", {"lathe": SHOP, "options": {"pitches": ["M10"], "tolerance": "much"}},
         "options.tolerance", ""),
        ("reach", {"lathe": SHOP, "options": {"pitches": ["3"]}}, "options.pitches", "write"),
        ("reach", {"lathe": "/etc/passwd", "options": {"pitches": ["M10"]}}, "lathe", "send"),
        ("reach", {"lathe": "../secret", "options": {"pitches": ["M10"]}}, "lathe", "send"),
        ("compare", {"lathes": [SHOP, {"name": "y"}]}, "lathes[1].leadscrew", "write"),
        ("blanks", {"lathe": SHOP, "options": {"teeth": [63], "backlash": "9 mm"}},
         "options.backlash", ""),
        ("setup", {"lathe": SHOP, "options": {}}, "options.pitch", ""),
    ],
)  # fmt: skip
def test_faults_name_the_key_and_the_cure(
    server: Served, command: str, request_: Any, where: str, cure: str
) -> None:
    status, found = ask(server, command, request_)
    assert status == 422
    assert found["kind"] == "faults"
    told = {fault["where"]: fault for fault in found["faults"]}
    assert where in told, found
    assert cure in told[where]["cure"]
    assert set(told[where]) >= {"where", "value", "why", "cure"}


@pytest.mark.parametrize(
    "body",
    ["", "[]", "nonsense", '{"lathe": NaN}', '{"lathe": 1, "lathe": 2}', "[" * 100_000, b"\xff\xfe",
     '{"lathe": {"name": ' + "9" * 5000 + "}}",
     '{"lathe": {"gears": {"owned": [' + "20," * 600 + "20]}}}"],
    ids=["empty", "list", "words", "nan", "twice", "deep", "bytes", "digits", "long"],
)  # fmt: skip
def test_what_is_no_request_is_a_fault(server: Served, body: Any) -> None:
    status, found = ask(server, "plan", body)
    assert status == 422
    assert found["faults"]


def test_no_faults_of_the_program_come_through(server: Served) -> None:
    """Values of every kind at every key of a lathe: answered, or refused as theirs."""
    path = lathe_file("instrument-repair")
    assert path is not None
    lathe = plain(read_toml(path).values)
    for table, keys in list(lathe.items()):
        if not isinstance(keys, dict):
            continue
        for key in list(keys)[:4]:
            for value in (None, True, -1, 1e300, "", [], {}, [[]], "\x00"):
                asked = {"lathe": {**lathe, table: {**keys, key: value}}}
                status, found = ask(server, "check", asked)
                assert status in (200, 422), (table, key, value, found)


def test_nothing_is_kept_of_a_request(server: Served) -> None:
    before = server.session.version
    ask(server, "reach", {"lathe": SHOP, "options": {"pitches": ["M10"]}})
    assert server.session.version == before
    assert list(server.session.desk.shelf.folder.iterdir()) == []


def test_it_describes_itself(server: Served) -> None:
    found = server.client().get("/api/openapi.json").json()
    assert found["openapi"].startswith("3.")
    assert set(found["paths"]) == {f"/api/{command}" for command in ASKED}
    lathe = found["components"]["schemas"]["Lathe"]
    assert {"name", "leadscrew", "gears"} <= set(lathe["required"])
    assert "axis_distance" in str(lathe["properties"]["banjo"])
    assert set(ASKED) == set(TAKES)
    for refused in ("nothing", "plan/x"):
        reply = server.client().post(f"/api/{refused}", json={})
        assert reply.status_code == 404
