"""What sheets tell people to do: no two things, no missing number, and what is told holds."""

from __future__ import annotations

import csv
import io
import re
from contextlib import redirect_stdout, suppress
from fractions import Fraction
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, cast

import pytest
import typer
from half_nut_bench import prove
from typical_jobs import TYPICAL, TypicalJob, lathe_path

from gearchest.cli import setup_command
from gearchest.optimizer.turning.setup import Setup
from gearchest.optimizer.turning.working import TurnedBy
from gearchest.reports.page.shell import Facts
from gearchest.reports.setup.sheet import setup_sheet

CHECKS = Path(__file__).parents[2] / "checks"


@cache
def told(job: TypicalJob) -> tuple[Setup, str]:
    """What the program works out for a job, and what it says in the terminal."""
    kept: list[Setup] = []
    work_out = setup_command.work_out

    def keep(*given: Any, **more: Any) -> Setup:
        kept.append(work_out(*given, **more))
        return kept[-1]

    out, options = io.StringIO(), cast(Any, dict(job.options))
    with (
        TemporaryDirectory() as folder,
        pytest.MonkeyPatch.context() as patch,
        redirect_stdout(out),
    ):
        patch.setattr(setup_command, "work_out", keep)
        with suppress(typer.Exit):  # ends so where no train is within the allowance
            setup_command.setup(
                lathe=lathe_path(job.lathe, Path(folder)), pitch=job.pitch, **options
            )
    return kept[-1], out.getvalue().replace("\u202f", " ")


def points() -> list[Any]:
    with (CHECKS / "sheet_points.csv").open(newline="", encoding="utf-8") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return [pytest.param(row, id=row["point"]) for row in rows]


def options_of(text: str) -> tuple[tuple[str, str | bool], ...]:
    parted = (part.partition("=") for part in text.split(";") if part)
    return tuple((name, True if value == "yes" else value) for name, _, value in parted)


@pytest.mark.parametrize("row", points())
def test_a_point_that_once_was_wrong(row: dict[str, str]) -> None:
    job = TypicalJob(row["lathe"], row["pitch"], options_of(row["options"]))
    _, text = told(job)
    assert row["source"]
    for said in filter(None, row["says"].split("|")):
        assert said.strip() in text
    for said in filter(None, row["never"].split("|")):
        assert said.strip() not in text


@pytest.mark.parametrize("name", TYPICAL)
def test_half_nuts_as_told_hold_on_the_bench(name: str) -> None:
    """With the spindle turning and with it standing, wherever it stopped."""
    found, _ = told(TYPICAL[name])
    nuts, lathe = found.half_nuts, found.lathe
    assert nuts is not None
    assert found.answer is not None
    lead = found.answer.train.ratio * lathe.leadscrew.starts
    travel = int((lathe.bed.carriage_travel or 0) / lathe.leadscrew.mm)
    for passed, back in ((Fraction(0), Fraction(0)), (Fraction(37, 11), Fraction(5, 3))):
        prove(nuts, lead, passed, back, travel)
    if nuts.back_mm is not None and found.bed.run is not None:
        assert found.bed.run - 1e-6 <= nuts.back_mm <= lathe.bed.carriage_travel  # type: ignore[operator]


POWER = ("rpm", "Highest speed", "reverse the motor", "hand on the switch", "switch on",
         "Torque at the spindle", "Cutting speed")  # fmt: skip
SINGLE_POINT = ("spring", "Side clearance", "handle towards", "single point", "thread gauge")
CUTTER = ("Feed per tooth", "Surface feed", "Its axis", "Tip's path", "Never let it climb", "bit")
HANDS = ("Crank torque", "Turns a pass", "crank")


@pytest.mark.parametrize("name", TYPICAL)
def test_a_sheet_tells_one_way_of_working(name: str) -> None:
    found, text = told(TYPICAL[name])
    way = found.working
    words = set(re.findall(r"[\w']+", text))

    def holds(phrase: str) -> bool:
        return phrase in words if phrase.isalpha() else phrase in text

    forbidden = HANDS if way.turned is TurnedBy.POWERED else POWER
    forbidden += SINGLE_POINT if way.cutter else CUTTER
    assert [phrase for phrase in forbidden if holds(phrase)] == []
    if way.wooden:
        assert way.turned is not TurnedBy.POWERED
    if way.turned is not TurnedBy.POWERED:
        assert "motor unplugged" in text
        assert found.speed.governing is None
    if way.screw_drives:
        assert "keep them closed" in text


@pytest.mark.parametrize("name", TYPICAL)
def test_no_number_is_missing(name: str) -> None:
    found, text = told(TYPICAL[name])
    for hole in ("None", "nan", "inf ", "{", "  ()", "( ", "not in the lathe file", " ,", " ."):
        assert hole not in text.replace("None of", "").replace("(seen)", "")
    sheet = setup_sheet(found, Facts())
    assert "None" not in re.sub(r"<(script|style).*?</\1>", "", sheet, flags=re.S)
    if found.length is not None and not found.bed.fits:
        assert found.bed.shift is not None


@pytest.mark.browser
@pytest.mark.parametrize("name", TYPICAL)
def test_typical_jobs_print_on_one_page(name: str, tab: Any, tmp_path: Path) -> None:
    from pypdf import PdfReader

    found, _ = told(TYPICAL[name])
    sheet = tmp_path / "sheet.html"
    sheet.write_text(setup_sheet(found, Facts(version="1")), encoding="utf-8")
    tab.goto(sheet.as_uri())
    for paper in ("A4", "Letter"):
        pages = PdfReader(io.BytesIO(tab.pdf(format=paper))).pages
        assert len(pages) == 1
        assert "Cautions" in pages[0].extract_text()
