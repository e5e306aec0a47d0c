"""Tables dropped on a page: what programs save, read for the field they are dropped on."""

from __future__ import annotations

import io
import json
import re
import zipfile
from base64 import b64encode
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import httpx
import pandas as pd
import pytest
from page_server import served
from price_lists import GEARS, lists, swelling
from waiting import until

from gearchest.cli.faults import FaultsError
from gearchest.cli.files.grid import text_grid
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import offers_in
from gearchest.cli.page.tables import table

LISTS = lists()


def read(data: bytes, name: str, use: str = "offers") -> dict[str, Any]:
    return table({"name": name, "base64": b64encode(data).decode("ascii"), "for": use})


@pytest.mark.parametrize("name", LISTS)
def test_a_list_of_any_program_becomes_the_same_offers(name: str) -> None:
    """What the page writes into its field is read as the file itself is by the commands."""
    ending, data = LISTS[name]
    text = read(data, f"list{ending}")["text"]
    lathe = load_lathe(Path("mini-7-metric"))
    found = offers_in([text_grid(text, "offers.csv")], lathe)
    assert {(o.gear.teeth, o.price) for o in found.offers} == {
        (teeth, Fraction(price)) for teeth, price, _ in GEARS
    }


def saved(rows: list[list[object]], ending: str) -> bytes:
    held = io.BytesIO()
    pd.DataFrame(rows).to_excel(
        held, header=False, index=False, engine="odf" if ending == "ods" else "openpyxl"
    )
    return held.getvalue()


@pytest.mark.parametrize("ending", ["xlsx", "ods"])
@pytest.mark.parametrize(
    ("rows", "text", "left"),
    [
        ([["Teeth", "Qty"], [20, 2], [30, 1], ["40T", 1]], "20 20 30 40", ""),
        ([[20, 20, 30], [45, None, "2x50"]], "20 20 30 45 50 50", ""),
        ([["my gears", None], [20, 30]], "20 30", "my gears"),
    ],
)
def test_gears_are_read_from_a_table(
    ending: str, rows: list[list[object]], text: str, left: str
) -> None:
    found = read(saved(rows, ending), f"gears.{ending}", "gears")
    assert found["text"] == text
    assert left in " ".join(found["said"])
    assert ("left out" in " ".join(found["said"])) == bool(left)


@pytest.mark.parametrize(
    ("data", "name"),
    [(b"PK\x03\x04nonsense", "x.xlsx"), (b"", "x.ods"), (swelling(1_048_576, 16_384), "x.ods"),
     (b"", "x.csv"), (b"\x00\x01\x02", "x.xlsx")],
)  # fmt: skip
@pytest.mark.parametrize("use", ["offers", "gears"])
def test_what_is_broken_or_swells_is_refused(data: bytes, name: str, use: str) -> None:
    with pytest.raises(FaultsError):
        read(data, name, use)


@pytest.mark.parametrize("use", ["offers", "gears"])
def test_a_spreadsheet_without_a_sheet_is_refused(use: str) -> None:
    made = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(saved([["Teeth"], [20]], "xlsx"))) as good,
        zipfile.ZipFile(made, "w") as bad,
    ):
        for name in good.namelist():
            bad.writestr(name, re.sub(rb"<sheet [^>]*/>", b"", good.read(name)))
    with pytest.raises(FaultsError, match="no sheet"):
        read(made.getvalue(), "x.xlsx", use)


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[httpx.Client]:
    with served(tmp_path_factory.mktemp("shop"), solver=True) as running:
        yield running.client()


def test_over_http_the_answer_is_text_or_why_not(client: httpx.Client) -> None:
    ending, data = LISTS["numbers of a free spreadsheet"]
    client.post("/edit", data={"sheet": "lathe", "do": "pattern:mini-7-metric"})
    reply = client.post("/table", params={"for": "offers", "name": f"l{ending}"}, content=data)
    assert reply.status_code == 200
    assert "63" in reply.json()["text"]
    reply = client.post("/table", params={"for": "offers", "name": "l.xlsx"}, content=b"PK")
    assert reply.status_code == 422
    assert json.loads(reply.text)["why"]
    form = {"sheet": "gears", "do": "offers:text", "a:offers": LISTS["english, commas"][1].decode()}
    client.post("/edit", data=form)
    assert "understood" in client.get("/offers").text


def test_files_to_cut_gears_from_are_those_of_the_command(
    client: httpx.Client, tmp_path: Path
) -> None:
    from gearchest.cli.blanks_command import blanks

    client.post("/edit", data={"sheet": "lathe", "do": "pattern:mini-7-metric"})
    client.post("/edit", data={"sheet": "threads", "do": "add:pitches", "a:pitches": "M6"})
    blanks(lathe=Path("mini-7-metric"), teeth=[63], out=tmp_path, json=None)
    page = client.get("/blanks", params={"teeth": "63"}).text
    for ending in ("dxf", "svg", "stl"):
        name = f"gear-63-m1.{ending}"
        assert f'href="{name}"' in page
        reply = client.get(f"/{name}")
        assert reply.content == (tmp_path / name).read_bytes()
        assert reply.headers["content-disposition"] == f'attachment; filename="{name}"'


@pytest.mark.parametrize("name", ["gear-63-m1.exe", "gear-../lathe.toml", "gear-99999-m1.dxf"])
def test_no_other_name_is_a_file(client: httpx.Client, name: str) -> None:
    assert client.get(f"/{name}").status_code == 404
    assert client.get("/gear-5-m1.dxf").status_code == 422


DROP = """([field, name, bytes]) => {
  const load = new DataTransfer();
  load.items.add(new File([new Uint8Array(bytes)], name));
  const how = { bubbles: true, cancelable: true, dataTransfer: load };
  document.getElementById(field).dispatchEvent(new DragEvent("drop", how));
}"""


@pytest.mark.browser
def test_files_are_dropped_and_chosen_in_a_browser(enter: Any, tmp_path: Path) -> None:
    with served(tmp_path, solver=True) as server:
        client = server.client()
        client.post("/edit", data={"sheet": "lathe", "do": "pattern:mini-7-metric"})
        page = enter(server, "/gears")
        ending, data = LISTS["german, windows"]
        page.evaluate(DROP, ["a-offers", f"list{ending}", list(data)])
        until(page, "document.getElementById('a-offers').value.includes('Zähnezahl')")
        page.evaluate(DROP, ["a-offers", "list.ods", list(b"PK no such thing")])
        until(page, "document.getElementById('a-offers-told').textContent.includes('spreadsheet')")
        page.click('[value="offers:text"]')
        page.wait_for_selector("#offers th:text-is('127')")
        assert "1234" in (tmp_path / "offers.csv").read_text(encoding="utf-8").replace(".", "")
        page.goto(f"{server.base}/lathe")
        gears = {"name": "g.xlsx", "mimeType": "", "buffer": saved([["Teeth"], [20], [63]], "xlsx")}
        page.set_input_files('[id="gears.owned-file"]', gears)
        until(page, "document.querySelector('[name=\"w:gears.owned\"]').value === '20, 63'")
        told = page.inner_text('[id="gears.owned-told"]')
        assert told == "2 gears of g.xlsx read."
        assert load_lathe(tmp_path / "lathe.toml").chest.size == 2
