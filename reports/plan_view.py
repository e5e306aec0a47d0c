"""What the plan page shows, row by row: a Plan turned into plain values for the template."""

from __future__ import annotations

from dataclasses import dataclass, replace

from markupsafe import Markup

from gearchest.optimizer.lathe import Lathe
from gearchest.optimizer.pitch import Pitch
from gearchest.optimizer.result import Answer, Fits, Plan, Verdict, WantStep
from gearchest.optimizer.train import half_nut_step
from gearchest.optimizer.want import Want
from gearchest.reports import numbers, wording
from gearchest.reports.drawing import train_svg
from gearchest.reports.planes import planes_svg
from gearchest.reports.shared import Shared
from gearchest.reports.states import State, state

SERIES_TITLES = {
    "iso-metric-coarse": "ISO metric, coarse",
    "iso-metric-fine": "ISO metric, fine",
    "unc": "Unified coarse (UNC)",
    "unf": "Unified fine (UNF)",
    "ba": "British Association (BA)",
    "": "Single threads",
}


@dataclass(frozen=True)
class MapCell:
    """One want at one step."""

    state: State
    error: str
    gained: bool
    preview: str


@dataclass(frozen=True)
class MapRow:
    """One want across the steps. `order` sorts by size of pitch."""

    ident: str
    name: str
    pitch: str
    pitch_mm: float
    weight: str
    allowed: str
    cells: tuple[MapCell, ...]


@dataclass(frozen=True)
class MapGroup:
    """The wants of one thread series."""

    title: str
    rows: tuple[MapRow, ...]


@dataclass(frozen=True)
class Fact:
    """One line of a setup: what, how much, and what that means."""

    label: str
    value: str
    note: str = ""


@dataclass(frozen=True)
class TrainSheet:
    """One train of a want with its drawings, and the steps at which it is the one to set."""

    steps: tuple[int, ...]
    when: str
    state: State
    title: str
    drawing: Markup
    planes: Markup
    caption: str
    facts: tuple[Fact, ...]
    reasons: tuple[str, ...]
    cures: tuple[str, ...]


@dataclass(frozen=True)
class Setup:
    """Everything about one want."""

    ident: str
    name: str
    pitch: str
    other_pitch: str
    allowed: str
    why: str
    ruled: bool
    weight: str
    strip: tuple[MapCell, ...]
    trains: tuple[TrainSheet, ...]


def series_title(series: str) -> str:
    """A thread series as a heading."""
    return SERIES_TITLES.get(series, series.replace("-", " ").capitalize())


def identifiers(plan: Plan) -> list[str]:
    """A stable id for every want, from its name."""
    taken: set[str] = set()
    return [wording.anchor(want.name, taken) for want in plan.wants]


def map_groups(plan: Plan) -> list[MapGroup]:
    """The coverage map, grouped by series in the order of the wants."""
    idents = identifiers(plan)
    inch = numbers.inch_first(plan.lathe)
    groups: dict[str, list[MapRow]] = {}
    for ident, want, states in zip(idents, plan.wants, plan.states, strict=True):
        row = map_row(ident, want, _cells(states), inch=inch)
        groups.setdefault(want.series, []).append(row)
    return [MapGroup(series_title(s), tuple(rows)) for s, rows in groups.items()]


def setups(plan: Plan) -> list[Setup]:
    """Every want's setup, in the order of the wants."""
    inch = numbers.inch_first(plan.lathe)
    shared = Shared()
    return [
        setup(
            ident,
            want,
            _cells(states),
            tuple(_train_sheets(plan, want, states, shared)),
            inch=inch,
        )
        for ident, want, states in zip(identifiers(plan), plan.wants, plan.states, strict=True)
    ]


def map_row(ident: str, want: Want, cells: tuple[MapCell, ...], *, inch: bool) -> MapRow:
    """A want as a row of a map."""
    return MapRow(
        ident,
        want.name,
        " · ".join(_pitch(want.pitch, inch)),
        want.pitch.lead.mm,
        numbers.weight(want.weight),
        numbers.allowance(want.allowance.relative),
        cells,
    )


def setup(
    ident: str,
    want: Want,
    cells: tuple[MapCell, ...],
    sheets: tuple[TrainSheet, ...],
    *,
    inch: bool,
) -> Setup:
    """A want with the trains that cut it."""
    first, second = _pitch(want.pitch, inch)
    return Setup(
        ident,
        want.name,
        first,
        second,
        numbers.allowance(want.allowance.relative),
        want.allowance.why,
        want.allowance.ruled,
        numbers.weight(want.weight),
        cells,
        sheets,
    )


def _pitch(pitch: Pitch, inch: bool) -> tuple[str, str]:
    """A pitch in the lathe's unit and in the other; starts are told."""
    first, second = numbers.pitch_pair(pitch, inch=inch)
    if pitch.starts > 1:
        first = f"lead {first}, {pitch.starts} starts"
    return first, second


def cell(step: WantStep, *, gained: bool = False) -> MapCell:
    """A state as a cell of a map. Where an exact train exists no error is shown, though an
    easier train within the allowance may be the one to set up."""
    error, preview = "", ""
    if step.answer:
        preview = wording.gears_written(step.answer.train)
        if step.verdict is not Verdict.EXACT:
            error = numbers.error(step.answer.error)
    return MapCell(state(step.verdict), error, gained, preview)


def _cells(states: tuple[WantStep, ...]) -> tuple[MapCell, ...]:
    before = (None, *states)
    return tuple(
        cell(step, gained=bool(last and step.verdict.covered and not last.verdict.covered))
        for last, step in zip(before, states, strict=False)
    )


def _train_sheets(
    plan: Plan, want: Want, states: tuple[WantStep, ...], shared: Shared
) -> list[TrainSheet]:
    steps_of: dict[tuple[Answer, Answer | None], list[int]] = {}
    for k, step in enumerate(states):
        if step.answer:
            steps_of.setdefault((step.answer, step.without_error), []).append(k)
    last = len(plan.steps) - 1
    sheets = [
        train_sheet(
            plan.lathe, want, answer, tuple(steps), wording.steps_written(steps, last), exact=exact
        )
        for (answer, exact), steps in steps_of.items()
    ]
    return [
        replace(sheet, drawing=shared(sheet.drawing), planes=shared(sheet.planes))
        for sheet in sheets
    ]


def train_sheet(
    lathe: Lathe,
    want: Want,
    answer: Answer,
    steps: tuple[int, ...],
    when: str,
    *,
    prefix: str = "",
    exact: Answer | None = None,
) -> TrainSheet:
    """A train with its drawings; with a prefix, without the section. `exact`: another train
    that cuts the want without error, harder on the teeth."""
    return TrainSheet(
        steps,
        when,
        state(answer.verdict),
        wording.gears_written(answer.train),
        train_svg(lathe, answer, prefix=prefix),
        Markup("") if prefix else planes_svg(lathe, answer.train),
        caption(answer),
        (*facts(lathe, want, answer), *_without_error(exact)),
        answer.fit.misfits,
        answer.fit.cures,
    )


def _without_error(exact: Answer | None) -> tuple[Fact, ...]:
    if exact is None:
        return ()
    load = f"{float(exact.train.tooth_load):.0f}\u202fN"
    gears = wording.gears_written(exact.train)
    return (Fact("Without error", gears, f"harder on the teeth: {load}"),)


def caption(answer: Answer) -> str:
    """What a drawing shows, and what it does not claim."""
    if answer.fit.placement is not None:
        return "Facing the gears, to scale; distances in mm."
    if answer.fit.fits is Fits.UNCHECKED:
        return "Gears to scale; shafts schematic: the arm is unmeasured, so fit is unchecked."
    return "Gears to scale; shafts schematic: the train does not close on the arm."


def facts(lathe: Lathe, want: Want, answer: Answer) -> list[Fact]:
    """The figures of one train, in the order a turner needs them."""
    train = answer.train
    inch = numbers.inch_first(lathe)
    cut = Pitch(train.ratio * lathe.leadscrew.lead.rational, pi=lathe.leadscrew.pi)
    first, second = numbers.pitch_pair(cut, inch=inch)
    allowed = want.allowance.relative
    found = [
        Fact("Cuts", first, second),
        Fact(
            "Error",
            numbers.error(answer.error),
            wording.share_of_allowance(answer.error, allowed) if answer.error else "",
        ),
        Fact("Tooth load", f"{float(train.tooth_load):.0f}\u202fN"),
        Fact(
            "Screw turns",
            numbers.significant(train.ratio, 3),
            wording.turns_advice(lathe, train),
        ),
        Fact(
            "Half-nut step",
            numbers.length_pair(half_nut_step(train.ratio, lathe.leadscrew), inch=inch, places=2),
        ),
    ]
    if levers := wording.setting(lathe, train):
        found.insert(0, Fact("Levers", levers))
    found += _placing(answer, inch)
    if answer.missing:
        found.append(Fact("To add", wording.teeth(answer.missing), "not among the gears owned"))
    return found


def _placing(answer: Answer, inch: bool) -> list[Fact]:
    placement = answer.fit.placement
    if placement is None:
        return []
    found = []
    for number, stud in enumerate(placement.studs, start=1):
        name = "Stud" if len(placement.studs) == 1 else f"Stud {number}"
        found.append(
            Fact(
                name,
                f"{numbers.length_pair(stud.position, inch=inch)}",
                f"in slot {stud.slot + 1}: {wording.teeth(stud.gears)}",
            )
        )
    if placement.arm_angle is not None:
        found.append(Fact("Arm", numbers.degrees(placement.arm_angle)))
    if placement.tightest:
        tight = placement.tightest
        found.append(Fact("Tightest", numbers.length_pair(tight.mm, inch=inch), tight.between))
    return found
