"""The setup sheet: one thread on one page, for the clip above the lathe."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from gearchest.optimizer.search.result import Answer
from gearchest.optimizer.turning.setup import Setup
from gearchest.reports.drawing.train import drawing
from gearchest.reports.page import shell
from gearchest.reports.setup import (
    cutter_view,
    load_view,
    size_view,
    steps_view,
    thread_view,
    train_view,
    view,
)
from gearchest.reports.setup.fullness import density
from gearchest.reports.words import numbers


def setup_sheet(setup: Setup, facts: shell.Facts) -> str:
    """The sheet as one HTML file. Raises ValueError where there is no train to show."""
    return shell.build(
        "setup/sheet.html.j2",
        lathe=setup.lathe,
        facts=facts,
        styles=("setup/sheet.css",),
        title=f"{view.title(setup)}, {setup.lathe.name}: setup sheet",
        verdict=view.verdict(setup),
        drawing=drawing(setup.lathe, _answer(setup), planes=False),
        prefix="",
        **_context(setup),
    )


def setup_parts(setup: Setup) -> Markup:
    """What the sheet says below its head, for a page that draws the train itself. Raises
    ValueError where there is no train to show."""
    return shell.part("setup/parts.html.j2", drawing="", prefix="whole-", **_context(setup))


def _answer(setup: Setup) -> Answer:
    if setup.answer is None or setup.mounting is None or setup.turning is None:
        raise ValueError("a setup sheet needs a train")
    return setup.answer


def _context(setup: Setup) -> dict[str, Any]:
    """What the parts of a sheet are made from."""
    _answer(setup)
    angle = setup.mounting.arm_angle if setup.mounting else None
    return {
        "setup": setup,
        "view": view,
        "cutter_view": cutter_view,
        "load_view": load_view,
        "size_view": size_view,
        "steps_view": steps_view,
        "thread_view": thread_view,
        "train_view": train_view,
        "density": density(setup),
        "arm_angle": "" if angle is None else numbers.degrees(angle),
    }
