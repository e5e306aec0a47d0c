"""How the time of a plan grows: with wants, gears owned, lever positions and allowances.

    python tests/benchmarks/growth.py [--most 2] [--seconds 120]

One thing is changed at a time, all else as in the middle of the table. Each plan is made in a
process of its own: trains, gears to add (of all common tooth counts), trains to set up; no files,
no report. One that takes longer than `--seconds` is told as that, with how far it came. The table
is printed as it stands in DEVELOPERS.md.
"""

from __future__ import annotations

import argparse
import os
import platform
import random
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from gearchest.catalogs.making import making_tables
from gearchest.optimizer.domain.gear import Chest, Offer
from gearchest.optimizer.domain.lathe import Banjo, GearMaking, Lathe, Slot
from gearchest.optimizer.domain.pitch import Pitch, mm, tpi
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.common import COMMON_TEETH

SEED = 18


@dataclass(frozen=True)
class Case:
    """`tolerance` in millionths."""

    studs: int = 1
    wants: int = 100
    gears: int = 40
    levers: int = 1
    tolerance: int = 1000

    def __str__(self) -> str:
        share = f"{self.tolerance / 10_000:g} %"
        return f"{self.wants} wants, {self.gears} gears, {self.levers} levers, {share}"


def cases() -> Iterator[Case]:
    """One thing changed at a time."""
    middle = Case()
    yield from (replace(middle, wants=wants) for wants in (50, 100, 200, 500, 1000))
    yield from (replace(middle, gears=gears) for gears in (20, 60))
    yield from (replace(middle, levers=levers) for levers in (9, 48))
    yield from (replace(middle, tolerance=tolerance) for tolerance in (40, 4000))


def lathe(case: Case) -> Lathe:
    """An arm with two slots, a chest of mixed gears, and a gearbox where there are levers."""
    draw = random.Random(SEED)
    teeth = sorted(draw.choices(range(20, 100), k=case.gears))
    making = GearMaking(Fraction(127, 100))
    gears = [making.gear(z) for z in teeth]
    loose = sorted({(gear, gears.count(gear)) for gear in gears}, key=lambda one: one[0].order)
    box = tuple((f"L{k:02d}", Fraction(16, 15 + k)) for k in range(1, case.levers + 1))
    banjo = Banjo(
        axis_distance=150.0,
        slots=(Slot(30.0, 105.0, 0.0, 0.0), Slot(45.0, 150.0, 48.0, 0.0)),
        studs=case.studs,
        swing=(-20.0, 160.0),
        gap=0.5,
        driver_hub=20.0,
        stud_hub=16.0,
        screw_hub=22.0,
        largest_tip_diameter=164.0,
    )
    return Lathe(
        "growth", tpi(8), making, Chest(tuple(loose)), banjo=banjo,
        gearbox=box if case.levers > 1 else (),
    )  # fmt: skip


def pitches(case: Case) -> list[Want]:
    """Metric and inch pitches, no two alike."""
    draw, found = random.Random(SEED), dict[Pitch, None]()
    while len(found) < case.wants:
        metric = draw.random() < 0.6
        found[
            mm(Fraction(draw.randint(25, 900), 100)) if metric
            else tpi(Fraction(draw.randint(12, 320), 4))
        ] = None  # fmt: skip
    allowance = Allowance(Fraction(case.tolerance, 10**6))
    return [Want(str(number), pitch, allowance) for number, pitch in enumerate(found)]


def plan(case: Case, most: int, seconds: float) -> None:
    """Make one plan and say how it went."""
    machine = lathe(case)
    offers = [Offer(machine.making.gear(teeth), Fraction(1)) for teeth in COMMON_TEETH]
    watch = Watch(seconds)
    made = make_plan(
        [machine], pitches(case), offers, Question(most, worth=Fraction(1)), watch, making_tables()
    )
    last = made.steps[-1]
    proven = "proven" if all(step.proven for step in made.steps) else "not proven"
    print(f"{made.steps[0].covered} to {last.covered} of {last.wanted}, {proven}")


def measured(case: Case, most: int, seconds: float) -> tuple[float, str]:
    """Seconds of the processors; and these, memory and what was found as they are told."""
    fields = [case.studs, case.wants, case.gears, case.levers, case.tolerance]
    command = [sys.executable, __file__, "--case", *map(str, fields)]
    command += ["--most", str(most), "--seconds", str(seconds)]
    start = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    said = process.stdout.read().strip()
    _, status, usage = os.wait4(process.pid, 0)
    if status:
        raise SystemExit(said)
    wall, took = time.perf_counter() - start, usage.ru_utime + usage.ru_stime
    return took, f"{took:.1f} s ({wall:.0f} s), {usage.ru_maxrss / 1024:.0f} MB: {said}"


def main() -> None:
    """Measure and print the table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--case", type=int, nargs=5, help="one plan, in this process")
    asked.add_argument("--most", type=int, default=2)
    asked.add_argument("--seconds", type=float, default=120.0)
    given = asked.parse_args()
    if given.case:
        plan(Case(*given.case), given.most, given.seconds)
        return
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    print(
        f"{os.cpu_count()} processors, {memory:.0f} GB, Python {platform.python_version()}, "
        f"{os.getloadavg()[0]:.1f} other processes at work when it began; "
        f"up to {given.most} gears added.\n"
    )
    print("| of the processors (by the clock), memory: covered | one stud | two studs |")
    print("|---|---|---|")
    for case in cases():
        told = [measured(replace(case, studs=n), given.most, given.seconds)[1] for n in (1, 2)]
        print(f"| {case} |", " | ".join(told), "|", flush=True)


if __name__ == "__main__":
    main()
