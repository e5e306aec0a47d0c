"""The short form of a setup for the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from gearchest.optimizer.turning.setup import Setup
from gearchest.reports.setup import (
    cutter_view,
    load_view,
    size_view,
    steps_view,
    thread_view,
    train_view,
    view,
)
from gearchest.reports.words import numbers, wording
from gearchest.reports.words.line import Line

WIDTH = 34
"""Characters before the values."""


def setup_lines(setup: Setup) -> Iterator[str]:
    """The lines to print: train, levers, loads, half-nuts, speed, sizes, cautions."""
    shown = view.verdict(setup)
    yield f"{view.title(setup)}, on {setup.lathe.name}: {shown.word}"
    yield view.summary(setup)
    if not setup.in_tolerance and not setup.chosen:
        yield from _what_would_help(setup)
    if setup.mounting is not None:
        yield ""
        for shaft in setup.mounting.shafts:
            gears = "  ".join(f"{cell:>6}" for cell in train_view.shaft_cells(shaft))
            yield f"  {shaft.name:<14} {gears}   {train_view.shaft_place(setup, shaft)}".rstrip()
        yield from (f"  {lever}" for lever in setup.mounting.levers)
        yield ""
    yield from _section("Turning", train_view.turning_lines(setup))
    if setup.turning is not None:
        yield from _indented(train_view.advice(setup))
        yield f"  {train_view.load_note(setup)}"
    yield from _section("Crank", cutter_view.crank_lines(setup))
    yield from _section("Half-nuts", train_view.half_nut_lines(setup))
    yield from _indented(steps_view.carriage_back(setup))
    yield from _section("Speed", train_view.speed_lines(setup))
    yield from _section(
        "Thread",
        [
            *thread_view.thread_lines(setup),
            *size_view.tip_lines(setup),
            *thread_view.tool_lines(setup),
        ],
    )
    yield from _section("Size", [*size_view.size_lines(setup), *size_view.boring_lines(setup)])
    yield from _section("The work", thread_view.work_lines(setup))
    yield from _indented(steps_view.next_start(setup))
    yield from _section(
        "Tap" if setup.tapped else "Powered cutter", cutter_view.cutter_lines(setup)
    )
    yield from _section("Infeed", thread_view.infeed_lines(setup))
    depths = thread_view.passes(setup)
    if depths:
        unit = view.units(setup).name
        yield f"  depths ({unit}): {' '.join(depth for depth, _ in depths)}"
    yield from _section("Wood", thread_view.wood_lines(setup))
    yield from _section("The screw under load", load_view.load_lines(setup))
    steps = steps_view.at_the_lathe(setup)
    if steps:
        yield "At the lathe"
        yield from (f"  {number}. {step}" for number, step in enumerate(steps, 1))
    yield "Cautions"
    for caution in setup.cautions:
        yield f"  {caution.topic}: {view.caution_text(setup, caution)}"


def _section(title: str, lines: Iterable[Line]) -> Iterator[str]:
    lines = list(lines)
    if not lines:
        return
    yield title
    for line in lines:
        note = f"  ({line.note})" if line.note else ""
        yield f"  {line.label:<{WIDTH - 2}} {line.value}{note}"


def _indented(text: str) -> Iterator[str]:
    if text:
        yield f"  {text}"


def _what_would_help(setup: Setup) -> Iterator[str]:
    """Why there is no train within the allowance, and the gears that would make one."""
    miss = setup.reach.misfit
    if miss is not None:
        why = view.units(setup).told("; ".join(miss.fit.misfits))
        yield f"The nearest that computes does not fit: {why}."
    for addition in setup.reach.additions[:3]:
        gears = ", ".join(str(gear) for gear in addition.gears)
        answer = addition.answer
        error = numbers.error(answer.error, setup.want.allowance.relative)
        yield f"With {gears} added: {wording.gears_written(answer.train)}, {error}."
