"""What the page answers from the files, with the process that computes."""

from __future__ import annotations

import os
import re
import signal
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from page_server import Served, served
from program import run

from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import load_wants
from gearchest.cli.page.errand import Errand
from gearchest.cli.page.planning import Planning
from gearchest.cli.page.sheets import sheet
from gearchest.cli.page.shelf import NAMES, Texts

BARE = """name = "small"
[leadscrew]
pitch = "1.5 mm"
[gears]
module = 1
owned = [20, 30, 40, 40, 50, 60]
"""
SINGLE = ("11 tpi", "0.8 module", "11 1/2 tpi", "19 tpi", "0.6 module", "27 tpi")
WANTS = '[[want]]\nseries = "iso-metric-coarse"\nto = "M12"\n' + "".join(
    f'\n[[want]]\npitch = "{pitch}"\n' for pitch in SINGLE
)
OFFERS = "teeth,price,how\n63,12.5,buy\n127,30,buy\n71,,cut\n"


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("shop")
    (folder / "wants.toml").write_text(WANTS, encoding="utf-8")
    (folder / "offers.csv").write_text(OFFERS, encoding="utf-8")
    with served(folder, solver=True) as running:
        client = running.client()
        client.post("/edit", data={"sheet": "lathe", "do": "pattern:mini-7-inch"})
        yield running


def done(server: Served) -> str:
    """The strip once all is answered."""
    client = server.client()
    end = time.monotonic() + 60
    while time.monotonic() < end:
        strip = client.get("/strip").text
        if 'data-state="working"' not in strip and server.session.answer.version >= (
            server.session.version
        ):
            return strip
        time.sleep(0.05)
    raise AssertionError(strip)


def test_the_report_saved_is_the_one_that_the_command_writes(server: Served) -> None:
    """Byte for byte, after other questions were asked in between."""
    client, folder = server.client(), server.session.desk.shelf.folder
    done(server)
    client.get("/setup", params={"thread": "M8"})
    reply = client.get("/report")
    assert "attachment" in reply.headers["content-disposition"]
    result = run(
        "plan", "lathe.toml", "--wants", "wants.toml", "--offers", "offers.csv", cwd=folder
    )
    assert result.returncode == 0, result.stderr
    written = (folder / "lathe-plan.html").read_text(encoding="utf-8")
    (folder / "lathe-plan.html").unlink()
    assert reply.text == written


@pytest.mark.parametrize(
    "path",
    ["/buy", "/setup?thread=M8", "/chart?with=63", "/blanks?teeth=63", "/compare?with=american-12"],
)
def test_documents_stand_between_our_head_and_foot(server: Served, path: str) -> None:
    reply = server.client().get(path)
    assert reply.status_code == 200
    policy = reply.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'none'" in policy
    assert "'unsafe-eval'" not in policy
    scripts = re.search(r"script-src ([^;]*)", policy)
    assert scripts
    assert "'unsafe-inline'" not in scripts[1]
    assert reply.text.count('id="doors"') == reply.text.count('id="strip"') == 1
    assert reply.text.count("<main") == 1
    assert reply.text.index('id="doors"') < reply.text.index("<main")


def test_steps_come_one_after_the_other_and_say_whether_they_are_proven(server: Served) -> None:
    strip = done(server)
    folder = server.session.desk.shelf.folder
    wants = load_wants(folder / "wants.toml", load_lathe(folder / "lathe.toml"))
    said = [(int(cut), int(of)) for cut, of in re.findall(r"<b>(\d+)</b> of (\d+)", strip)]
    assert {of for _, of in said} == {len(wants)}
    assert said == sorted(said)
    assert "proven" in strip
    assert "<small></small>" in strip  # the lathe as it is needs no proof


def test_an_edit_is_answered_anew_and_undone_back_to_the_same(server: Served) -> None:
    before = done(server)
    client = server.client()
    form = {"sheet": "lathe", "v:gears.owned": "20 30", "w:gears.owned": _owned(client)}
    client.post("/edit", data=form)
    fewer = done(server)
    assert fewer != before
    client.post("/edit", data={"sheet": "lathe", "do": "undo"})
    assert done(server) == before


def test_gears_that_have_come_are_put_among_those_owned(server: Served) -> None:
    """With one button; then the lathe as it is covers what the plan promised."""
    client, folder = server.client(), server.session.desk.shelf.folder
    before = done(server)
    button = re.search(r'name="do" value="(got:([\d,]+))"', client.get("/buy").text)
    assert button
    advised = re.search(r'<li class="advised">.*?<b>(\d+)</b>', before, re.DOTALL)
    assert advised
    owned = Counter(dict(load_lathe(folder / "lathe.toml").chest.loose))
    client.post("/edit", data={"sheet": "buy", "do": button[1]})
    after = done(server)
    bought = Counter(dict(load_lathe(folder / "lathe.toml").chest.loose)) - owned
    assert sorted(gear.teeth for gear in bought.elements()) == [*map(int, button[2].split(","))]
    now = re.search(r"as it is</span>\s*<b>(\d+)</b>", after)
    assert now
    assert now[1] == advised[1]
    client.post("/edit", data={"sheet": "buy", "do": "undo"})
    assert done(server) == before
    client.post("/edit", data={"sheet": "buy", "do": "got:x"})
    assert done(server) == before


def _owned(client: object) -> str:
    page = client.get("/lathe").text  # type: ignore[attr-defined]
    found = re.search(r'name="w:gears.owned" value="([^"]*)"', page)
    assert found
    return found[1]


def test_a_file_with_faults_has_no_answer_and_says_where_to_look(server: Served) -> None:
    client = server.client()
    done(server)
    client.post(
        "/edit", data={"sheet": "lathe", "v:leadscrew.pitch": "8", "w:leadscrew.pitch": "16 tpi"}
    )
    assert 'data-state="waiting"' in done(server)
    reply = client.get("/buy")
    assert reply.status_code == 422
    assert "the unit is missing" in reply.text
    client.post("/edit", data={"sheet": "lathe", "do": "undo"})
    assert 'data-state="done"' in done(server)


def test_without_threads_the_page_says_so_and_where_to_name_some(server: Served) -> None:
    client, wants = server.client(), server.session.desk.shelf.folder / "wants.toml"
    done(server)
    try:
        for nothing in ("", "# none yet\n", "want = []\n"):
            wants.write_text(nothing, encoding="utf-8")
            page = client.get("/buy").text
            assert 'No thread is wanted yet: <a href="/threads">' in page, nothing
            assert "missing" not in page
        assert client.get("/report").text == (
            "no thread is wanted yet: name some on the sheet of threads"
        )
    finally:
        wants.write_text(WANTS, encoding="utf-8")
        client.get("/threads")  # so that the change is seen at once
    assert 'data-state="done"' in done(server)


def test_what_was_understood_of_a_price_list_is_shown(server: Served) -> None:
    client = server.client()
    done(server)
    page = client.get("/offers").text
    assert page.count("<tr>") == 4
    assert "12.50" in page
    client.post(
        "/edit",
        data={"sheet": "gears", "do": "offers:text", "a:offers": "Zähne;Preis\n63;12,50 €\n"},
    )
    assert "1 gear understood" in client.get("/offers").text
    client.post("/edit", data={"sheet": "gears", "do": "undo"})


def test_an_unknown_thread_is_named_and_added(server: Served, tmp_path: Path) -> None:
    client = server.client()
    page = client.get(
        "/unknown", params={"measured": "10 threads in 15.1 mm", "diameter": "9.9 mm"}
    ).text
    first = re.search(r'value="add:one=([^"]*)"', page)
    assert first
    assert first[1] == "M10"
    before = server.session.texts["wants"]
    client.post("/edit", data={"sheet": "threads", "do": "add:one=M10"})
    assert 'pitch = "M10"' in (server.session.texts["wants"] or "")
    client.post("/edit", data={"sheet": "threads", "do": "undo"})
    assert server.session.texts["wants"] == before
    wrong = client.get("/unknown", params={"measured": "ten"}).text
    assert 'class="note"' in wrong


def test_questions_beside_the_plan_are_answered_while_it_is_at_work(server: Served) -> None:
    """They put it off; it goes on afterwards, with what it had found."""
    client = server.client()
    form = {"sheet": "lathe", "v:gears.owned": "20 20 30 40 50 60 63 70 80",
            "w:gears.owned": _owned(client)}  # fmt: skip
    client.post("/edit", data=form)
    assert client.get("/setup", params={"thread": "M8"}).status_code == 200
    assert 'data-state="done"' in done(server)
    client.post("/edit", data={"sheet": "lathe", "do": "undo"})


def test_what_to_buy_is_whole_once_that_was_told_even_if_the_process_was_ended(
    server: Served,
) -> None:
    """Else a page that waits for the whole answer would ask for it without end."""
    client = server.client()
    done(server)
    number = server.session.solver.process_id
    assert number is not None
    os.kill(number, signal.SIGKILL)
    time.sleep(0.3)
    pages = [client.get("/buy").text for _ in range(2)]
    assert 'data-whole="true"' in pages[-1]


def test_what_to_buy_is_a_page_at_every_moment_of_the_answer(tmp_path: Path) -> None:
    """Also where the steps take gears that could not be ticked before they were known."""
    texts: Texts = {"lathe": BARE, "wants": WANTS, "offers": OFFERS}
    for name, text in texts.items():
        (tmp_path / NAMES[name]).write_text(text or "", encoding="utf-8")
    planning = Planning()
    asked = {"sheet": "buy", "texts": texts, "folder": str(tmp_path), "query": {}, "done": False}
    pages: list[str] = []

    def told(part: dict[str, Any]) -> None:
        pages.append(sheet(asked, planning, Errand(2, print))["html"])

    planning.steps(texts, Errand(1, told))
    told({})
    ticks = ["whatif-presets" in page for page in pages]
    assert ticks == [False, True, True, True, True]
