"""How much a sheet says, so that it can be set as large as one page allows."""

from __future__ import annotations

import math
from collections.abc import Iterable

from gearchest.optimizer.turning.setup import Setup
from gearchest.reports.setup import (
    cutter_view,
    load_view,
    size_view,
    steps_view,
    thread_view,
    train_view,
)
from gearchest.reports.words.line import Line

BESIDE_LABEL, ACROSS = 36, 48
"""Characters on a line beside a label, and of a paragraph across a column, at the largest size."""

HEADING, DRAWING, SHAFT = 2, 17, 2
"""Lines that a heading, the drawing of the train and a shaft of the table take."""


SIZES = ((143, "crowded"), (166, "packed"), (190, "tight"))
"""Lines beyond which a page is set smaller, and smaller again: tried on A4 and Letter with sheets
of 143 to 225 lines; those of 149 and 179 still had room, fewer where many options were given."""


def density(setup: Setup) -> str:
    """The class of the sheet by what it holds."""
    full = fullness(setup)
    return " ".join(name for lines, name in SIZES if full > lines)


def fullness(setup: Setup) -> float:
    """Lines of text the sheet would take in one column at its largest size."""
    lines = [
        *train_view.turning_lines(setup),
        *cutter_view.crank_lines(setup),
        *train_view.half_nut_lines(setup),
        *train_view.speed_lines(setup),
        *thread_view.thread_lines(setup),
        *size_view.tip_lines(setup),
        *thread_view.tool_lines(setup),
        *size_view.size_lines(setup),
        *size_view.boring_lines(setup),
        *thread_view.work_lines(setup),
        *cutter_view.cutter_lines(setup),
        *thread_view.wood_lines(setup),
        *load_view.load_lines(setup),
        *thread_view.infeed_lines(setup),
    ]
    told = [
        *(setup.mounting.levers if setup.mounting else ()),
        steps_view.BACKLASH,
        train_view.advice(setup),
        train_view.load_note(setup),
        steps_view.carriage_back(setup),
        steps_view.next_start(setup),
        *steps_view.at_the_lathe(setup),
        *steps_view.picking_up(setup),
        *steps_view.set_back(setup),
        *(str(caution) for caution in setup.cautions),
    ]
    passes = len(thread_view.passes(setup))
    pairs = 2 if setup.infeed and setup.infeed.slide_angle is not None else 3
    parts = 9 + sum(part is not None for part in (setup.milling, setup.wood, setup.pressing))
    shafts = len(setup.mounting.shafts) if setup.mounting else 0
    return (
        sum(_rows(line) for line in lines)
        + _paragraphs(told)
        + math.ceil(passes / pairs)
        + HEADING * parts
        + SHAFT * shafts
        + len(train_view.mesh_rows(setup))
        + DRAWING
    )


def _rows(line: Line) -> float:
    return math.ceil(len(f"{line.value} {line.note}") / BESIDE_LABEL)


def _paragraphs(told: Iterable[str]) -> float:
    return sum(math.ceil(len(text) / ACROSS) for text in told)
