"""The setup sheet, its JSON and its short form, made from the bundled lathes."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest

from gearchest.catalogs.materials import nut_materials, screw_materials
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import want_from
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.train_notation import parse_train
from gearchest.optimizer.search.own_choice import own_choice
from gearchest.optimizer.search.reach import reach
from gearchest.optimizer.search.trains import settings
from gearchest.optimizer.turning.pressing import Hand, Load
from gearchest.optimizer.turning.setup import Setup, Wishes, setup
from gearchest.reports.page.shell import Facts
from gearchest.reports.setup import (
    cutter_view,
    load_view,
    size_view,
    steps_view,
    thread_view,
    train_view,
    view,
)
from gearchest.reports.setup.document import setup_document
from gearchest.reports.setup.sheet import setup_sheet
from gearchest.reports.setup.text import setup_lines

REPAIR, AMERICAN, MINI = "instrument-repair", "american-12", "mini-7-metric"


def made(
    lathe: str | Lathe,
    pitch: str,
    *,
    use: str | None = None,
    diameter: str | None = None,
    left: bool = False,
    inside: bool = False,
    **wishes: object,
) -> Setup:
    machine = load_lathe(Path(lathe)) if isinstance(lathe, str) else lathe
    want = want_from(pitch, lathe=machine, use=use, diameter=diameter, left=left, inside=inside)
    asked = Wishes(**wishes)  # type: ignore[arg-type]
    return setup(machine, want, reach(machine, want), asked)


def bolt() -> Setup:
    return made(REPAIR, "M10", length=60.0)


def press_screw() -> Setup:
    return made(
        REPAIR,
        "9 mm",
        use="wood",
        diameter="50 mm",
        length=420.0,
        load=Load(Hand(200, 150)),
        material=screw_materials()["beech"],
    )


def cranked() -> Setup:
    """Two starts, three stages, sixty passes, wound from the screw's end."""
    return made(
        AMERICAN,
        "Tr40x14 P7",
        length=800.0,
        load=Load(Hand(200, 250), nut_material=nut_materials()["bronze"], free=400.0),
        material=screw_materials()["mild steel"],
    )


def fullest() -> Setup:
    return made(
        AMERICAN,
        "3 starts of 8 mm",
        use="wood",
        diameter="60 mm",
        left=True,
        length=1000.0,
        load=Load(Hand(200, 250), nut_material=nut_materials()["beech"], free=400.0),
        material=screw_materials()["beech"],
    )


def worm() -> Setup:
    """Plastic gears, one of them overloaded."""
    return made(MINI, "1 module", diameter="22 mm", length=60.0)


def long_bolt() -> Setup:
    """As much as a sheet set at the larger size has to hold."""
    return made(AMERICAN, "M20", left=True, length=690.0)


def nut() -> Setup:
    return made(MINI, "M10", inside=True, length=20.0)


def pipe() -> Setup:
    return made(REPAIR, "1/2 NPT")


def socket() -> Setup:
    return made(AMERICAN, "1/2 NPT", inside=True, length=20.0)


ALL = {
    "bolt": bolt,
    "press": press_screw,
    "cranked": cranked,
    "fullest": fullest,
    "worm": worm,
    "long bolt": long_bolt,
    "nut": nut,
    "pipe": pipe,
    "socket": socket,
}


class Text(HTMLParser):
    """The words a reader sees, tags balanced or not."""

    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.hidden = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.hidden += tag in ("script", "style")

    def handle_endtag(self, tag: str) -> None:
        self.hidden -= tag in ("script", "style")

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            self.words.append(data)


def words(found: Setup) -> str:
    parser = Text()
    parser.feed(setup_sheet(found, Facts()))
    text = " ".join(" ".join(parser.words).split())
    return text.replace("\u202f", " ")


@pytest.mark.parametrize("name", ALL)
def test_sheet_holds_all_that_the_setup_says(name: str) -> None:
    found = ALL[name]()
    text = words(found)
    lines = [
        *thread_view.thread_lines(found),
        *thread_view.tool_lines(found),
        *size_view.tip_lines(found),
        *size_view.size_lines(found),
        *size_view.boring_lines(found),
        *train_view.turning_lines(found),
        *train_view.half_nut_lines(found),
        *train_view.speed_lines(found),
        *thread_view.work_lines(found),
        *thread_view.infeed_lines(found),
        *thread_view.wood_lines(found),
        *cutter_view.cutter_lines(found),
        *cutter_view.crank_lines(found),
        *load_view.load_lines(found),
    ]
    for line in lines:
        for part in (line.label, line.value, line.note):
            assert " ".join(part.replace("\u202f", " ").split()) in text
    for caution in found.cautions:
        assert caution.topic in text
        assert view.caution_text(found, caution).replace("\u202f", " ")[1:] in text
    for depth, slide in thread_view.passes(found):
        assert f"{depth} {slide}".strip() in text
    told = [steps_view.carriage_back(found), steps_view.next_start(found)]
    told += steps_view.at_the_lathe(found) + steps_view.picking_up(found)
    for step in told:
        assert step.replace("\u202f", " ") in text
    assert "None" not in text.replace("None of the", "")


def test_shafts_and_stud_positions_stand_on_the_sheet() -> None:
    text = words(bolt())
    assert "In the order it goes on" in text
    placement = bolt().answer.fit.placement  # type: ignore[union-attr]
    assert placement is not None
    at = placement.studs[0].position
    assert f"slot at {at / 25.4:.3f} in ({at:.1f} mm)" in text


def test_weakest_mesh_is_named() -> None:
    note = train_view.load_note(bolt())
    assert note.startswith("Weakest: 50/65")
    rows = train_view.mesh_rows(bolt())
    assert [row.pair for row in rows if row.weakest] == ["50/65"]


def test_overload_is_loud() -> None:
    found = worm()
    assert "OVERLOADED" in train_view.load_note(found)
    assert any(row.over for row in train_view.mesh_rows(found))


def test_cranked_sheet_says_nothing_of_a_powered_spindle() -> None:
    """Metal driven from the screw: a powered cutter, its own loads, no spring passes, no rpm."""
    found = cranked()
    assert found.crank is not None
    cutting, first = 6.0, found.answer.train.drivers[0]  # type: ignore[union-attr]
    (row, *_) = train_view.mesh_rows(found)
    assert row.load == f"{2000 * cutting / float(first.module * first.teeth):.0f}"
    text = words(found)
    for there in ("Screw drives", "Crank length", "Turns for the job", "Feed per tooth"):
        assert there in text
    assert "wind the screw back" in text
    for absent in ("rpm", "spring", "Top slide 2", "reverse the motor", "Torque at the spindle"):
        assert absent not in text


def test_why_a_mesh_is_unchecked_stands_below_the_table() -> None:
    """The 16 of this lathe cannot have its bore and keyway: no cell of the table is a sentence."""
    found = made(AMERICAN, "Tr40x14 P7", left=True, use="travel", length=120.0)
    chosen = parse_train("80/16 x 46/44 x 54/64", found.lathe)
    own = own_choice(found.lathe, found.want, chosen, settings(found.lathe))
    found = setup(found.lathe, found.want, found.reach, Wishes(length=120.0), own)
    rows = train_view.mesh_rows(found)
    assert rows[0].share == "unchecked"
    assert all(len(cell) < 15 for row in rows for cell in (row.load, row.allowed, row.share))
    assert "80/16: bore and keyway" in train_view.load_note(found)
    assert "80/16: bore and keyway" in words(found)


@pytest.mark.parametrize(
    ("pitch", "said"),
    [
        ("M6", "; no train of the gears owned alone keeps the allowance."),
        (
            "1.25 mm",
            "; of the gears owned alone the one to set up is 35/50 × 45/80, +125\u202fppm.",
        ),
    ],
)
def test_gears_to_get_stand_with_what_those_owned_do(pitch: str, said: str) -> None:
    """Of a train with a gear that is not owned; once, at the head of the sheet."""
    found = made(REPAIR, pitch)
    chosen = parse_train("28/50 x 45/80", found.lathe)
    own = own_choice(found.lathe, found.want, chosen, settings(found.lathe))
    found = setup(found.lathe, found.want, found.reach, Wishes(), own)
    assert view.summary(found).endswith(f"Your own choice, for which to get 28 first{said}")
    assert "not among the gears owned" not in words(found)


def test_dial_lines_in_words() -> None:
    assert train_view.dial_words("any", 8) == "any place"
    assert train_view.dial_words((), 8) == "not usable"
    assert train_view.dial_words((0,), 8) == "line 0"
    assert train_view.dial_words((0, 4), 8) == "lines 0, 4"
    assert train_view.dial_words((0, 1), 2) == "any line"


def test_inch_lathe_reads_inches_first() -> None:
    inch, metric = bolt(), made(MINI, "M10")
    assert thread_view.passes(inch)[-1][0] == f"{inch.sizes.depth / 25.4:.3f}"  # type: ignore[operator]
    assert thread_view.passes(metric)[-1][0] == f"{metric.sizes.depth:.2f}"


def test_names_are_escaped() -> None:
    machine = replace(load_lathe(Path(REPAIR)), name='<b>"x"</b> & Söhne')
    sheet = setup_sheet(made(machine, "M10"), Facts())
    assert "<b>&#34;" not in sheet
    assert '<b>"x"' not in sheet
    assert "&lt;b&gt;" in sheet


def test_sheet_asks_nothing_of_a_network() -> None:
    sheet = setup_sheet(press_screw(), Facts())
    assert not re.findall(r"(?:src|href)=\"(?!#|data:)", sheet)
    assert "http" not in sheet.replace("http-equiv", "")


def test_sheet_needs_a_train() -> None:
    nothing = made(REPAIR, "90 mm")
    assert nothing.answer is None
    with pytest.raises(ValueError, match="needs a train"):
        setup_sheet(nothing, Facts())


def test_same_setup_same_bytes() -> None:
    assert setup_sheet(bolt(), Facts()) == setup_sheet(bolt(), Facts())


FIXED = {
    "": ["kind", "version", "thread", "train", "turning", "half_nuts", "speed", "bed", "passes",
         "cautions", "inside", "limits", "working"],
    "thread": ["name", "form", "included_angle_deg", "pitch_mm", "lead_mm", "starts", "major_mm",
               "pitch_diameter_mm", "minor_mm", "depth_mm", "nut_bore_mm", "lead_angle_deg"],
    "train": ["drivers", "driven", "idlers", "gearbox", "ratio", "pitch_mm", "lead_mm", "error",
              "verdict", "fits", "meshes", "studs", "arm_angle_deg", "tightest", "missing",
              "screw_turns", "tooth_load", "half_nut_step_mm"],
    "turning": ["screw_turns", "advice", "spindle_torque_nm", "meshes"],
    "half_nuts": ["how", "may_open", "step_mm", "dials"],
    "speed": ["highest_rpm", "governed_by", "overrun_mm_at_lowest_rpm"],
    "bed": ["fits", "why", "move_tool_mm"],
}  # fmt: skip
"""The names other people's scripts rely on."""


@pytest.mark.parametrize("name", ALL)
def test_document_has_the_fixed_names(name: str) -> None:
    document = setup_document(ALL[name]())
    assert json.loads(json.dumps(document, allow_nan=False)) == document
    for part, names in FIXED.items():
        held = document[part] if part else document
        assert isinstance(held, dict)
        assert set(names) <= set(held)


def test_document_agrees_with_itself() -> None:
    document = json.loads(json.dumps(setup_document(bolt())))
    assert document["kind"] == "setup"
    assert document["verdict"] == "in tolerance"
    turning, train = document["turning"], document["train"]
    assert turning["screw_turns"] == train["screw_turns"]
    assert document["half_nuts"]["step_mm"] == pytest.approx(train["half_nut_step_mm"])
    loads = [mesh["load_n"] for mesh in turning["meshes"]]
    assert max(loads) == pytest.approx(train["tooth_load"] * 1.5)  # the policy's screw torque
    for mesh in turning["meshes"]:
        assert mesh["share"] == pytest.approx(mesh["load_n"] / mesh["allowed_n"])
    assert document["passes"][-1] == pytest.approx(document["thread"]["depth_mm"])
    assert document["half_nuts"]["dials"] == [{"teeth": 16, "lines": 8, "usable": []}]
    # Torque at the spindle x its angle = torque at the screw x its angle / efficiency.
    assert turning["spindle_torque_nm"] == pytest.approx(1.5 * turning["screw_turns"] / 0.97**2)


def test_document_without_a_train() -> None:
    document = setup_document(made(REPAIR, "90 mm"))
    assert document["train"] is None
    assert document["turning"] is None
    assert document["half_nuts"] is None
    assert document["verdict"] == "no train"


def test_setup_lines_tells_the_same() -> None:
    text = "\n".join(setup_lines(bolt())).replace("\u202f", " ")
    assert text.startswith("M10, external thread, on Bench lathe, instrument repair: in tolerance")
    assert "35/57 × 50/65" in text
    assert "Weakest: 50/65" in text
    assert "Nearly a multiple" in text


def test_setup_lines_without_a_train_says_what_is_missing() -> None:
    text = "\n".join(setup_lines(made(REPAIR, "90 mm")))
    assert "no train" in text


@pytest.mark.browser
@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize(("paper", "size"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_prints_on_one_page(
    name: str, paper: str, size: tuple[int, int], tab: Any, tmp_path: Path
) -> None:
    from pypdf import PdfReader

    sheet = tmp_path / "sheet.html"
    sheet.write_text(setup_sheet(ALL[name](), Facts(version="1")), encoding="utf-8")
    tab.goto(sheet.as_uri())
    pages = PdfReader(BytesIO(tab.pdf(format=paper))).pages
    assert len(pages) == 1
    box = pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(size, abs=2)
    # Text cut off at the paper's edge would be missing from the page.
    assert "Cautions" in pages[0].extract_text()
