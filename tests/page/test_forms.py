"""The sheets without scripts: forms that are sent, and what stands in the files and on the page
afterwards."""

from __future__ import annotations

import html
import os
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from page_server import Served, served

from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.reading import read_text
from gearchest.cli.files.wants import load_wants
from gearchest.cli.page.changes import cures_of, digest
from gearchest.cli.page.lathe_form import MAKING, SECTIONS
from gearchest.cli.page.seen import see
from gearchest.cli.page.shelf import Texts
from gearchest.optimizer.domain.lathe import Lathe

HABITS = Path(__file__).parents[1] / "cli" / "habits"


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Served]:
    with served(tmp_path) as running:
        yield running


@pytest.fixture
def client(server: Served) -> Iterator[httpx.Client]:
    with server.client() as running:
        yield running


def fields(page: str) -> dict[str, str]:
    """Every field of a page as a browser would send it."""
    found = {}
    for tag in re.findall(r"<input[^>]*>", page):
        name = re.search(r'name="([^"]*)"', tag)
        value = re.search(r'value="([^"]*)"', tag)
        if name and 'type="checkbox"' not in tag and 'type="radio"' not in tag:
            found[name[1]] = html.unescape(value[1]) if value else ""
    for name, body in re.findall(r'<select[^>]*name="([^"]*)"[^>]*>(.*?)</select>', page, re.S):
        chosen = re.search(r'<option value="([^"]*)" selected', body)
        found[name] = html.unescape(chosen[1]) if chosen else ""
    return found


def typed(client: httpx.Client, sheet: str, **values: str) -> str:
    """A sheet filled in and sent whole, as without scripts."""
    form = fields(client.get(f"/{sheet}").text)
    form = {key: value for key, value in form.items() if key[:2] in ("v:", "w:")}
    new = {f"v:{key.replace('__', '.')}": value for key, value in values.items()}
    assert set(new) <= set(form), set(new) - set(form)
    return client.post("/edit", data={"sheet": sheet, **form, **new}).text


def press(client: httpx.Client, sheet: str, do: str, **more: str) -> str:
    given = {f"a:{key}": value for key, value in more.items()}
    return client.post("/edit", data={"sheet": sheet, "do": do, **given}).text


def lathe(folder: Path) -> Lathe:
    return load_lathe(folder / "lathe.toml")


def test_a_lathe_described_from_nothing_is_read_by_the_commands(
    client: httpx.Client, tmp_path: Path
) -> None:
    assert "mini-7-metric" in client.get("/lathe").text
    page = press(client, "lathe", "pattern:")
    assert page.count("needed") >= 2
    typed(client, "lathe", name="Mine", leadscrew__pitch="8 tpi", gears__module="1",
          gears__owned="2x20 30 40 60", headstock__reversing="true", bed__carriage_travel="300",
          headstock__first_driver_turns="1, 1/2", headstock__spindle_nose="fixed")  # fmt: skip
    typed(client, "lathe", banjo__axis_distance="4 5/16 in", banjo__swing="-75 to 75",
          banjo__slots__0__start="25", banjo__slots__0__end="95", banjo__gap="1")  # fmt: skip
    found = lathe(tmp_path)
    assert found.name == "Mine"
    assert found.chest.size == 5
    assert found.banjo is not None
    assert found.banjo.axis_distance == pytest.approx(109.5375)
    assert found.banjo.swing == (-75, 75)
    assert [(s.start, s.end) for s in found.banjo.slots] == [(25, 95)]
    assert len(found.first_driver_turns) == 2
    assert 'axis_distance = "4 5/16 in"' in (tmp_path / "lathe.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "name", ["mini-7-metric", "mini-7-inch", "american-12", "instrument-repair"]
)
def test_a_sheet_sent_as_it_is_changes_nothing(
    client: httpx.Client, tmp_path: Path, name: str
) -> None:
    press(client, "lathe", f"pattern:{name}")
    before = (tmp_path / "lathe.toml").read_bytes()
    press(client, "threads", "sample")
    wants = (tmp_path / "wants.toml").read_bytes()
    typed(client, "lathe")
    typed(client, "threads")
    assert (tmp_path / "lathe.toml").read_bytes() == before
    assert (tmp_path / "wants.toml").read_bytes() == wants


def _table(annotation: Any) -> Any:
    """The table that a field holds, or a list of them."""
    if hasattr(annotation, "model_fields"):
        return annotation
    found = map(_table, getattr(annotation, "__args__", ()))
    return next((one for one in found if one is not None), None)


def test_every_field_of_a_lathe_is_on_a_sheet() -> None:
    """What a file may hold can be typed: against the tables of the reader of files."""
    from gearchest.cli.files.lathe_tables import LatheFile
    from gearchest.cli.page.fields import Field

    shown = {
        tuple(key for key in (*base, *field.path) if isinstance(key, str))
        for section in (*SECTIONS, *MAKING)
        for part in section.parts
        for base, field in (
            [((), part)] if isinstance(part, Field) else [(part.path, own) for own in part.fields]
        )
    }
    tables = {
        "leadscrew",
        "headstock",
        "banjo",
        "gears",
        "bed",
        "policy",
        "gearbox",
        "workshop",
        "dividing",
    }
    left_out = {("gearbox", "plate"), ("banjo", "slots"), ("gears", "special"),
                ("leadscrew", "thread_dials")}  # fmt: skip
    for name in tables:
        model = _table(LatheFile.model_fields[name].annotation)
        missing = {(name, key) for key in model.model_fields} - shown - left_out
        assert not missing, missing


def test_every_field_of_a_want_is_on_a_sheet(client: httpx.Client) -> None:
    from gearchest.cli.files.wants import COLUMNS

    press(client, "threads", "add:pitches", pitches="M6")
    press(client, "threads", "add:series", series="ba", **{"from": "0 BA", "to": "2 BA"})
    names = {key.rpartition(".")[2] for key in fields(client.get("/threads").text) if key[0] == "v"}
    assert names == set(COLUMNS.known)


def test_a_plate_is_typed_as_the_grid_it_is(client: httpx.Client, tmp_path: Path) -> None:
    press(client, "lathe", "pattern:mini-7-inch")
    page = client.get("/lathe").text
    cells = fields(page)
    assert cells["v:plate.0.0"] == ""
    form = {"sheet": "lathe", "v:gears.usual_train": "40/80", "w:gears.usual_train": "",
            "v:gearbox.unit": "tpi", "w:gearbox.unit": ""}  # fmt: skip
    for row, (name, values) in enumerate((("A", ("8", "9", "")), ("B", ("16", "", "20")))):
        form |= {f"v:plate.{row}.name": name, f"w:plate.{row}.name": ""}
        for column, value in enumerate(values):
            form |= {f"v:plate.{row}.{column}": value, f"w:plate.{row}.{column}": ""}
    client.post("/edit", data=form)
    box = dict(lathe(tmp_path).gearbox)
    assert set(box) == {"A1", "A2", "B1", "B3"}
    assert box["A1"] == 2 * box["B1"]
    again = fields(client.get("/lathe").text)
    assert [again[f"v:plate.1.{column}"] for column in range(3)] == ["16", "", "20"]


def test_threads_are_added_ticked_and_taken_out(client: httpx.Client, tmp_path: Path) -> None:
    press(client, "lathe", "pattern:mini-7-metric")
    press(
        client,
        "threads",
        "add:series",
        series="iso-metric-coarse",
        to="M6",
        weight="3",
        **{"from": "M3"},
    )
    press(client, "threads", "add:pitches", pitches="11 tpi\n 1/4-20 UNC \n\n", inside="true")
    shop = lathe(tmp_path)
    wants = load_wants(tmp_path / "wants.toml", shop)
    names = [want.name for want in wants]
    assert names[0] == "M3"
    assert "M6" in names
    assert names[-2:] == ["11 tpi", "1/4-20 UNC"]
    assert wants[0].weight == 3
    assert wants[-1].inside
    assert "M10" in client.get("/threads?series=iso-metric-coarse").text
    sizes = {"sheet": "threads", "do": "ticks", "series": "iso-metric-coarse"}
    client.post("/edit", data={**sizes, "shown": ["M10", "M12"], "size": ["M10", "M12"]})
    client.post("/edit", data={**sizes, "shown": ["M10", "M12"], "size": ["M12"]})
    assert [w.name for w in load_wants(tmp_path / "wants.toml", shop)][-2:] == ["1/4-20 UNC", "M12"]
    press(client, "threads", "remove:wants:want.0")
    assert load_wants(tmp_path / "wants.toml", shop)[0].name == "11 tpi"
    typed(client, "threads", want__0__weight="10", want__0__tolerance="0.2 %")
    assert load_wants(tmp_path / "wants.toml", shop)[0].weight == 10


def test_all_that_was_done_is_undone(client: httpx.Client, tmp_path: Path) -> None:
    press(client, "lathe", "pattern:mini-7-metric")
    begun = (tmp_path / "lathe.toml").read_bytes()
    typed(client, "lathe", leadscrew__pitch="2 mm")
    typed(client, "lathe", gears__owned="20 30")
    press(client, "threads", "add:pitches", pitches="M6")
    for _ in range(3):
        press(client, "lathe", "undo")
    assert (tmp_path / "lathe.toml").read_bytes() == begun
    assert not (tmp_path / "wants.toml").exists()
    page = press(client, "lathe", "redo")
    assert "Done again: Pitch 2 mm" in page
    assert lathe(tmp_path).leadscrew.mm == 2


def test_an_edit_that_crosses_another_is_asked_about(client: httpx.Client, tmp_path: Path) -> None:
    """Two tabs: of different fields both stand; of one field the second is asked."""
    press(client, "lathe", "pattern:mini-7-metric")
    old = fields(client.get("/lathe").text)
    path = tmp_path / "lathe.toml"
    text = path.read_text(encoding="utf-8").replace("axis_distance = 75.0", "axis_distance = 80")
    path.write_text(text, encoding="utf-8")
    os.utime(path, ns=(1, path.stat().st_mtime_ns + 10_000_000))
    form = {key: value for key, value in old.items() if key[:2] in ("v:", "w:")}
    sent = {"sheet": "lathe", **form, "v:banjo.axis_distance": "90", "v:gears.bore": "14"}
    page = client.post("/edit", data=sent).text
    found = lathe(tmp_path)
    assert found.banjo is not None
    assert found.banjo.axis_distance == 80
    assert found.making.bore == 14
    assert "80" in re.search(r"Meanwhile [^<]*", page)[0]  # type: ignore[index]
    button = re.search(r'value="(set:lathe:banjo.axis_distance:90)"', page)
    assert button
    press(client, "lathe", button[1])
    assert lathe(tmp_path).banjo.axis_distance == 90  # type: ignore[union-attr]


def _buttons(page: str) -> list[str]:
    return [html.unescape(v) for v in re.findall(r'<button name="do" value="(cure:[^"]*)"', page)]


@pytest.mark.parametrize(
    "name", sorted(path.name for path in HABITS.glob("*.toml") if "-" in path.name)
)
def test_cures_that_are_offered_mend(tmp_path: Path, name: str) -> None:
    """Done one after the other they make a file right."""
    kind = name.partition("-")[0]
    text: str | None = read_text(HABITS / name)
    for _ in range(12):
        texts: Texts = {kind: text}
        offered = [own for own in cures_of(texts, kind) if own]
        if not offered:
            break
        text = offered[0][0].text
    seen = see({kind: text})
    file = seen.lathe_file if kind == "lathe" else seen.wants_file
    assert file.faults == ()
    target = tmp_path / name
    target.write_text(text or "", encoding="utf-8")
    shop = load_lathe(target if kind == "lathe" else Path("mini-7-metric"))
    assert kind == "lathe" or load_wants(target, shop)


def test_cures_are_buttons(client: httpx.Client, tmp_path: Path) -> None:
    """One of a line that is no TOML, one of a key, one of a value."""
    for name in ("lathe-no-equals.toml", "lathe-misspelt-key.toml", "lathe-keyway-spelt-out.toml"):
        press(client, "lathe", "pattern:mini-7-metric")
        (tmp_path / "lathe.toml").write_bytes((HABITS / name).read_bytes())
        for _ in range(4):
            if buttons := _buttons(client.get("/lathe").text):
                press(client, "lathe", buttons[0])
        assert 'class="fault"' not in client.get("/lathe").text
        assert lathe(tmp_path)


def test_a_file_that_is_no_toml_at_all_opens_and_is_mended_by_hand(
    client: httpx.Client, tmp_path: Path
) -> None:
    press(client, "lathe", "pattern:mini-7-metric")
    good = (tmp_path / "lathe.toml").read_text(encoding="utf-8")
    press(client, "files", "whole:lathe", text=good + "[[[\n", digest=digest(good))
    page = client.get("/lathe").text
    assert "TOML" in page
    assert client.get("/threads").status_code == 200
    stale = press(client, "files", "whole:lathe", text="x = 1", digest="old")
    assert "not written" in stale


def test_a_price_list_is_taken_and_given_up(client: httpx.Client, tmp_path: Path) -> None:
    press(client, "gears", "offers:text", offers="Zähne;Preis\r\n63;12,50 €\r\n")
    assert (tmp_path / "offers.csv").read_text(encoding="utf-8") == "Zähne;Preis\n63;12,50 €\n"
    press(client, "gears", "offers:every")
    assert not (tmp_path / "offers.csv").exists()


def test_what_people_type_is_shown_and_never_run(client: httpx.Client) -> None:
    press(client, "lathe", "pattern:mini-7-metric")
    page = typed(client, "lathe", name='"><script>alert(1)</script>')
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert" in page


def test_the_drawing_follows_what_is_typed(client: httpx.Client) -> None:
    one = client.get("/arm.svg", params={"banjo.axis_distance": "110"}).text
    other = client.get("/arm.svg", params={"banjo.axis_distance": "4 5/16 in"}).text
    assert "110 mm" in one
    assert "4 5/16 in" in other
    for strange in ("", "x" * 500, "-5", "1e999", "nan", "0"):
        query = {
            "banjo.axis_distance": strange,
            "banjo.swing": strange,
            "banjo.slots.0.end": strange,
        }
        reply = client.get("/arm.svg", params=query)
        assert reply.status_code == 200
        assert "nan" not in reply.text.lower().replace("banjo", "")


def test_it_is_drawn_to_scale(client: httpx.Client) -> None:
    """Shaft to shaft and slot are as long beside each other as they were measured."""
    query = {"banjo.axis_distance": "120", "banjo.slots.0.start": "30", "banjo.slots.0.end": "90",
             "banjo.largest_tip_diameter": "100"}  # fmt: skip
    svg = client.get("/arm.svg", params=query).text
    axis = re.search(r'd="M0 0L(-?[\d.]+) ?(-?[\d.]+)" class="axis"', svg)
    slot = re.search(r'd="M(-?[\d.]+) ?(-?[\d.]+)L(-?[\d.]+) ?(-?[\d.]+)" class="gap"', svg)
    cover = re.search(r'r="([\d.]+)" class="cover"', svg)
    assert axis and slot and cover  # noqa: PT018
    mm = abs(complex(*map(float, axis.groups()))) / 120
    x1, y1, x2, y2 = map(float, slot.groups())
    assert abs(complex(x2 - x1, y2 - y1)) == pytest.approx(60 * mm, rel=0.01)
    assert abs(complex(x1, y1)) == pytest.approx(30 * mm, rel=0.01)
    assert float(cover[1]) == pytest.approx(50 * mm, rel=0.01)


def test_the_answer_of_a_disk_that_is_full_is_plain(
    client: httpx.Client, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    press(client, "lathe", "pattern:mini-7-metric")
    before = (tmp_path / "lathe.toml").read_bytes()

    def full(*_: object) -> None:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(os, "fsync", full)
    page = typed(client, "lathe", leadscrew__pitch="2 mm")
    assert "No space left on device" in page
    assert (tmp_path / "lathe.toml").read_bytes() == before
