"""The setup sheet: one thread on one page, for the clip above the lathe."""

from __future__ import annotations

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
    answer = setup.answer
    if answer is None or setup.mounting is None or setup.turning is None:
        raise ValueError("a setup sheet needs a train")
    angle = setup.mounting.arm_angle
    return shell.build(
        "setup/sheet.html.j2",
        lathe=setup.lathe,
        facts=facts,
        styles=("setup/sheet.css",),
        title=f"{view.title(setup)}, {setup.lathe.name}: setup sheet",
        setup=setup,
        view=view,
        cutter_view=cutter_view,
        load_view=load_view,
        size_view=size_view,
        steps_view=steps_view,
        thread_view=thread_view,
        train_view=train_view,
        density=density(setup),
        verdict=view.verdict(setup),
        drawing=drawing(setup.lathe, answer, planes=False),
        arm_angle="" if angle is None else numbers.degrees(angle),
    )
