"""Lathes, plans and trains for the report's tests, worked out by plain exhaustive search.

Class-typical figures, no maker's. `python tests/support/report_samples.py FOLDER` writes
the sample pages, to be looked at.
"""

from __future__ import annotations

import base64
import json
import re
import sys
import zlib
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import permutations, product

from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.gear import Chest, Gear, Offer
from gearchest.optimizer.domain.lathe import Banjo, GearMaking, Lathe, Slot
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.pitch import Pitch, mm, relative_error, tpi
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Allowance, Use, Want
from gearchest.optimizer.plan.result import (
    AddedGear,
    Advice,
    Alternative,
    Grounds,
    Plan,
    Step,
)
from gearchest.optimizer.plan.whatif import WhatIf, extra_gears, what_if
from gearchest.optimizer.search.answers import choice_key
from gearchest.optimizer.search.merit import merit
from gearchest.optimizer.search.result import Answer, Verdict, WantStep

LAYOUT = {layout.name: layout for layout in LAYOUTS}
MODULE = Fraction(1)

SERIES_TITLES = {
    "iso-metric-coarse": "ISO metric, coarse",
    "unc": "Unified coarse (UNC)",
    "ba": "British Association (BA)",
}
MINI_TEETH = (20, 20, 30, 35, 40, 45, 50, 55, 57, 60, 65, 80, 80)
ADDED = ((), (63,), (63, 70), (63, 70, 21), (63, 70, 21, 127))


def chest(teeth: tuple[int, ...], module: Fraction = MODULE) -> Chest:
    counts = Counter(Gear(t, module) for t in teeth)
    return Chest(tuple(sorted(counts.items(), key=lambda pair: pair[0].order)))


def mini_lathe(**changes: object) -> Lathe:
    """The 7-inch mini class on a 16 tpi screw, its arm measured."""
    lathe = Lathe(
        name="Bench lathe, instrument repair",
        leadscrew=tpi(16),
        making=GearMaking(MODULE, face_width=Fraction(8), bore=12.0),
        chest=chest(MINI_TEETH),
        banjo=Banjo(
            axis_distance=80.0,
            slots=(Slot(28.0, 95.0),),
            studs=1,
            swing=(-20.0, 140.0),
            driver_hub=16.0,
            stud_hub=14.0,
            screw_hub=16.0,
            largest_tip_diameter=132.0,
        ),
        lowest_rpm=60,
    )
    return replace(lathe, **changes)  # type: ignore[arg-type]


def train(layout: str, *teeth: int, module: Fraction = MODULE) -> Train:
    """A train of a layout from tooth counts in mesh order."""
    kind = LAYOUT[layout]
    gears = iter(Gear(t, module) for t in teeth)
    stages = [[next(gears) for _ in range(idlers + 2)] for idlers in kind.idlers]
    return Train(
        kind,
        tuple(stage[0] for stage in stages),
        tuple(stage[-1] for stage in stages),
        tuple(tuple(stage[1:-1]) for stage in stages),
    )


def answer(lathe: Lathe, made: Train, want: Want | None = None) -> Answer:
    """A train as an answer to a want (by default to what it cuts exactly)."""
    error = relative_error(made.ratio, lathe.leadscrew, want.pitch) if want else Fraction(0)
    owned = Counter(dict(lathe.chest.loose))
    where = fit(lathe, made)
    cut = mm(made.ratio * lathe.leadscrew.rational)
    judged = merit(lathe, want or Want("what it cuts", cut, Allowance(Fraction(0))), made)
    verdict = _verdict(error, want, where.fits)
    return Answer(made, error, verdict, where, judged, made.missing(owned))


def _verdict(error: Fraction | float, want: Want | None, fits: Fits) -> Verdict:
    if fits is Fits.NO:
        return Verdict.DOES_NOT_FIT
    if error == 0:
        return Verdict.EXACT
    return Verdict.IN_TOLERANCE if want and abs(error) <= want.allowance.relative else Verdict.OFF


def every_layout() -> list[tuple[Lathe, Answer]]:
    """One mounted train of each layout, and some that do not fit or are unmeasured."""
    mini = mini_lathe()
    assert mini.banjo
    two = mini_lathe(
        banjo=replace(
            mini.banjo,
            axis_distance=118.0,
            axis_angle=75.0,
            studs=2,
            swing=(-180.0, 180.0),
            slots=(Slot(20.0, 130.0, 0.0, 8.0), Slot(20.0, 130.0, 38.0, -8.0)),
            largest_tip_diameter=140.0,
        )
    )
    direct = mini_lathe(banjo=replace(mini.banjo, axis_distance=60.0))
    bare = mini_lathe(banjo=None)
    roomy = replace(bare, unmeasured_studs=2)
    return [
        (direct, answer(direct, train("direct", 40, 80))),
        (mini, answer(mini, train("simple, one idler", 40, 50, 45))),
        (mini, answer(mini, train("compound", 30, 60, 40, 55))),
        (mini, answer(mini, train("compound", 20, 80, 20, 80))),
        (two, answer(two, train("simple, two idlers", 40, 50, 45, 60))),
        (two, answer(two, train("compound, idler in the first stage", 30, 45, 50, 40, 60))),
        (two, answer(two, train("compound, idler in the second stage", 35, 60, 40, 45, 55))),
        (two, answer(two, train("double compound", 35, 60, 40, 55, 30, 50))),
        (bare, answer(bare, train("compound", 45, 55, 50, 65))),
        (roomy, answer(roomy, train("double compound", 20, 80, 35, 65, 30, 50))),
        (bare, answer(bare, train("direct", 20, 127))),
    ]


def wants() -> tuple[Want, ...]:
    """Threads of several series, one with a name that tries to break out of the page."""
    metric = [("M3", "0.5", 3), ("M4", "0.7", 4), ("M5", "0.8", 5), ("M6", "1", 6),
              ("M8", "1.25", 8), ("M10", "1.5", 10), ("M12", "1.75", 12)]  # fmt: skip
    inch = [("#4-40 UNC", "40"), ("1/4-20 UNC", "20"), ("3/8-16 UNC", "16"), ("1/2-13 UNC", "13")]
    found = [
        _want(name, mm(p), "0.0005", "iso-metric-coarse", "half of 6g over 6.7 P d^0.2",
              thread=Thread(name, mm(p), Fraction(d), "iso", "iso-metric-coarse"))
        for name, p, d in metric
    ]  # fmt: skip
    found += [
        _want(name, tpi(t), "0.0003", "unc", "0.5 of the 2A tolerance over one diameter")
        for name, t in inch
    ]
    found += [
        _want("2 BA", mm("0.81"), "0.0038", "ba", "0.5 of the tolerance over 6.7 P d^0.2"),
        _want("4 BA", mm("0.66"), "0.0041", "ba", "0.5 of the tolerance over 6.7 P d^0.2"),
        replace(
            _want("clamp screw", mm(9), "0.01", "", "wood cut with its own nut: common practice"),
            use=Use.WOOD,
            weight=Fraction(5),
        ),
        replace(
            _want("0.8 module worm", Pitch(Fraction(4, 5), pi=True), "0.002", "", "given: 0.2 %"),
            use=Use.WORM,
        ),
        _want("</script><b>stand screw</b>", mm(4), "0.001", "", "a plain pitch: 0.1 %"),
    ]
    return tuple(found)


def few_wants() -> tuple[Want, ...]:
    """One of each kind."""
    every = wants()
    return tuple(every[i] for i in (0, 3, 9, 12, 14, 15))


def _want(
    name: str, pitch: Pitch, allowed: str, series: str, why: str, thread: Thread | None = None
) -> Want:
    title = SERIES_TITLES.get(series, "")
    return Want(
        name, pitch, Allowance(Fraction(allowed), why), thread=thread, series=series,
        series_title=title,
    )  # fmt: skip


ADVISED = 3
"""The step a sample plan advises: not its last."""

_OTHER = Alternative((Gear(66, MODULE),), Fraction(12), Fraction(9), Fraction(8), True)
"""A set one may rather get than that of step 1."""

ALL_TEETH = MINI_TEETH + ADDED[-1]
WITHIN = 0.006
"""Relative error up to which trains are looked at: enough that some are off."""


@cache
def answers(lathe: Lathe, want: Want) -> tuple[Answer, ...]:
    """Every train of one stud from all gears `WITHIN` the want, placed."""
    found = []
    stock = Counter(ALL_TEETH)
    wanted = want.pitch.mm / lathe.leadscrew.mm
    for a, b, c, d in product(sorted(stock), repeat=4):
        if abs(a * c / (b * d) / wanted - 1) <= WITHIN and not Counter((a, b, c, d)) - stock:
            found.append(answer(lathe, train("compound", a, b, c, d), want))
    for a, d in product(sorted(stock), repeat=2):
        if abs(a / d / wanted - 1) <= WITHIN and not Counter((a, d)) - stock:
            found.append(answer(lathe, train("direct", a, d), want))
    for a, i, d in permutations(sorted(stock), 3):
        if abs(a / d / wanted - 1) <= WITHIN:
            found.append(answer(lathe, train("simple, one idler", a, i, d), want))
    return tuple(found)


def settled(lathe: Lathe, want: Want, teeth: tuple[int, ...]) -> WantStep:
    """The train to set up from these gears."""
    stock = Counter(teeth)
    found = [a for a in answers(lathe, want) if not Counter(g.teeth for g in a.train.gears) - stock]
    covering = [a for a in found if a.verdict.covered]
    if covering:
        best = min(covering, key=lambda a: choice_key(lathe, a))
        exact = [a for a in covering if a.error == 0] if best.error else []
        without = min(exact, key=lambda a: choice_key(lathe, a), default=None)
        return WantStep(best.verdict, best, without_error=without)
    for verdict in (Verdict.DOES_NOT_FIT, Verdict.OFF):
        kept = [a for a in found if a.verdict is verdict]
        kept = [
            a for a in kept if verdict is Verdict.OFF or abs(a.error) <= want.allowance.relative
        ]
        if kept:
            return WantStep(verdict, min(kept, key=lambda a: abs(a.error)))
    return WantStep(Verdict.NO_TRAIN, None)


@cache
def plan(
    lathe_name: str = "Bench lathe, instrument repair", measured: bool = True, few: bool = False
) -> Plan:
    """A plan of the mini lathe with up to four gears added; the gears are given, not sought.
    `few`: for a third of the threads."""
    lathe = mini_lathe(name=lathe_name) if measured else mini_lathe(name=lathe_name, banjo=None)
    threads = few_wants() if few else wants()
    states = tuple(
        tuple(settled(lathe, want, MINI_TEETH + added) for added in ADDED) for want in threads
    )
    steps = tuple(_steps(threads, states))
    return Plan(lathe, threads, steps, states, advice=Advice(ADVISED, Grounds.NO_MORE))


def _steps(threads: tuple[Want, ...], states: tuple[tuple[WantStep, ...], ...]) -> list[Step]:
    steps = []
    for k, added in enumerate(ADDED):
        covered = [w for w, s in zip(threads, states, strict=True) if s[k].verdict.covered]
        price = [Fraction(9) + Fraction(t, 10) for t in added]
        gears = tuple(
            AddedGear(
                Offer(Gear(t, MODULE), p, "cut" if t == 127 else "buy"),
                tuple(
                    w.name
                    for w, s in zip(threads, states, strict=True)
                    if s[k].verdict.covered and s[k].answer and t in _teeth(s[k])
                ),
            )
            for t, p in zip(added, price, strict=True)
        )
        weight = sum((w.weight for w in covered), Fraction(0))
        steps.append(
            Step(
                most=k,
                gears=gears,
                price=sum(price, Fraction(0)),
                covered=len(covered),
                covered_weight=weight,
                demerits=Fraction(7 * k),
                wanted=len(threads),
                wanted_weight=sum((w.weight for w in threads), Fraction(0)),
                proven=k < 4,
                bound_weight=weight + (1 if k == 4 else 0),
                proven_by="exhaustive search over given sets",
                order=tuple((g.offer.gear, weight - k + i + 1) for i, g in enumerate(gears)),
                equally_good=((Gear(66, MODULE),),) if k == 1 else (),
                stopped_by="time limit" if k == 4 else "",
                alternatives=(_OTHER,) if k == 1 else (),
            )
        )
    return steps


def _teeth(step: WantStep) -> list[int]:
    return [gear.teeth for gear in step.answer.train.gears] if step.answer else []


def twice(plan: Plan) -> Plan:
    """The plan with every want a second time under another name: threads of one pitch."""
    again = tuple(replace(want, name=f"{want.name} again") for want in plan.wants)
    return replace(plan, wants=plan.wants + again, states=plan.states * 2)


def quoted(page: str) -> str:
    """A page with quotes round all values of its tags, for looking things up in it."""
    return re.sub(
        r"<[a-zA-Z][^<>]*>",
        lambda tag: re.sub(r"(\s[\w-]+)=([^\s\"'>]+)", r'\1="\2"', tag[0]),
        page,
    )


def unpacked(page: str, ident: str) -> str:
    """What a packed block of a page holds."""
    block = re.search(rf'<script type="application/json" id="{ident}">"([^"]*)"</script>', page)
    assert block, ident
    letters = block[1].translate(str.maketrans(".,", "<&"))
    return zlib.decompress(base64.b85decode(letters)).decode()


def filled(page: str, ident: str) -> dict[str, list[str]]:
    """The texts of a block that is packed as forms and the numbers that stand in them."""
    held = json.loads(unpacked(page, ident))
    gaps = [zip(*(gap.split(" ") for gap in some), strict=True) for some in held["gaps"]]

    def piece(form: int) -> str:
        first, *rest = held["forms"][form]
        numbers = next(gaps[form]) if rest else ()
        return first + "".join(a + b for a, b in zip(numbers, rest, strict=True))

    return {
        name: ["".join(piece(form) for form in held["orders"][order]) for order in some]
        for name, some in held["texts"]
    }


def ticked_table(made: Plan) -> WhatIf:
    """The what-if table of a sample plan."""
    return what_if(made.lathe, made.wants, extra_gears(made))


def main(folder: str) -> None:
    """Write the sample pages."""
    from pathlib import Path

    from gearchest.cli.thread_setups import thread_setups
    from gearchest.optimizer.chart.of_plan import plan_charts
    from gearchest.optimizer.plan.watch import Watch
    from gearchest.optimizer.search.compare import compare
    from gearchest.reports.compare.document import compare_document
    from gearchest.reports.compare.sheet import compare_sheet
    from gearchest.reports.page.shell import Facts
    from gearchest.reports.plan.sheet import plan_sheet

    inputs = (("lathe.toml", "0" * 64), ("wants.toml", "1" * 64))
    facts = Facts("0.1.0", inputs, (("--most", "4"),))
    out = Path(folder)
    out.mkdir(parents=True, exist_ok=True)
    pages = {
        "plan": plan_sheet(
            plan(),
            facts,
            what_if=ticked_table(plan()),
            walls=plan_charts(plan(), Watch()),
            worked_out=thread_setups(plan()),
        ),
        "plan-bare": plan_sheet(
            plan("</script><b>x", measured=False, few=True), facts, charts=False
        ),
    }
    mini, metric = mini_lathe(), mini_lathe(name="The same on a 1.5 mm screw", leadscrew=mm("1.5"))
    offers = [(mini.making.gear(teeth), None) for teeth in (21, 63, 70, 127)]
    both = compare((mini, metric), wants(), (offers, offers))
    document = compare_document(both)
    pages["compare"] = compare_sheet(both, facts, document=document)
    (out / "compare.json").write_text(json.dumps(document), encoding="utf-8")
    for name, text in pages.items():
        (out / f"{name}.html").write_text(text, encoding="utf-8")
        print(out / f"{name}.html", len(text.encode()))


if __name__ == "__main__":
    main(sys.argv[1])
