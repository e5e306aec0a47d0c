"""Everything needed to cut one thread on one lathe."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Use, Want
from gearchest.optimizer.search.result import Answer, Reach
from gearchest.optimizer.threads.tip import Tip
from gearchest.optimizer.turning.cautions import Caution, Job, cautions
from gearchest.optimizer.turning.driving import CRANK_FORCE, Turning, turning
from gearchest.optimizer.turning.half_nuts import HalfNuts, half_nuts
from gearchest.optimizer.turning.mounting import Mounting, mounting
from gearchest.optimizer.turning.passes import Infeed, infeed
from gearchest.optimizer.turning.pressing import Hand, Pressing, pressing
from gearchest.optimizer.turning.screw_force import ScrewMaterial
from gearchest.optimizer.turning.shaping import Shaping, shaping
from gearchest.optimizer.turning.sizes import Sizes, sizes
from gearchest.optimizer.turning.speed import Speed, speed
from gearchest.optimizer.turning.wood import WoodBlank, blank
from gearchest.optimizer.turning.work import (
    BedFit,
    Starts,
    ToolClearance,
    bed_fit,
    starts,
    tool_clearance,
)

RUN_OUT_PITCHES, MOST_RUN_OUT = 2.0, 5.0
"""Run-out where none is asked for: so many pitches, at most so many mm (common practice, no
source)."""


@dataclass(frozen=True)
class Wishes:
    """What is asked beyond the thread. Lengths in mm, `crank_force` in N; `form` as in `sizes`;
    `tip` and `class_name` as in `shaping`; `hand` and `material` for the force of the finished
    screw."""

    form: str = ""
    tip: Tip | None = None
    class_name: str = ""
    length: float | None = None
    run_out: float | None = None
    crank_force: float = CRANK_FORCE
    hand: Hand | None = None
    material: ScrewMaterial | None = None


@dataclass(frozen=True)
class Setup:
    """One thread on one lathe. `answer` is the train to set up, else the closest that fits,
    else None; what depends on a train is None without one."""

    lathe: Lathe
    want: Want
    reach: Reach
    answer: Answer | None
    sizes: Sizes
    length: float | None
    run_out: float
    speed: Speed
    bed: BedFit
    shaping: Shaping
    mounting: Mounting | None = None
    turning: Turning | None = None
    half_nuts: HalfNuts | None = None
    infeed: Infeed | None = None
    clearance: ToolClearance | None = None
    starts: Starts | None = None
    wood: WoodBlank | None = None
    pressing: Pressing | None = None

    @property
    def in_tolerance(self) -> bool:
        """Whether the train shown keeps the thread's allowance and can be mounted."""
        return self.answer is not None and self.answer.verdict.covered

    @property
    def pipe(self) -> bool:
        """Whether the thread comes from a catalog of pipe threads."""
        return self.want.thread is not None and self.want.thread.series.startswith("pipe")

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """What to look out for, gravest first."""
        job = Job(
            name=self.want.name,
            sizes=self.sizes,
            shaping=self.shaping,
            speed=self.speed,
            pipe=self.pipe,
            wooden=self.wood is not None,
            length=self.length,
            run_out=self.run_out,
            fits=self.answer.fit.fits if self.answer else None,
            in_tolerance=self.in_tolerance,
            plastics=self._plastics(),
            turning=self.turning,
            half_nuts=self.half_nuts,
            pressing=self.pressing,
        )
        return cautions(job)

    def _plastics(self) -> frozenset[str]:
        """Materials of the train's gears that are known as plastics."""
        gears = self.answer.train.gears if self.answer else ()
        known = {gear.material: self.lathe.strength.material(gear) for gear in gears}
        return frozenset(name for name, kind in known.items() if kind and kind.plastic)


def setup(lathe: Lathe, want: Want, reach: Reach, wishes: Wishes) -> Setup:
    """Work out everything for one thread; `reach` is what the lathe can do for it.

    Raises KeyError for an unknown thread form, NoInternalThread where the form has
    none, ValueError for a class that the thread's standard does not have.
    """
    thread = sizes(want, wishes.form)
    answer = reach.best or reach.closest
    error = None if answer is None else float(answer.error)
    shaped = shaping(want, thread, error, tip=wishes.tip, class_name=wishes.class_name)
    run_out = wishes.run_out
    if run_out is None:
        run_out = min(RUN_OUT_PITCHES * thread.pitch_mm, MOST_RUN_OUT)
    found = Setup(
        lathe,
        want,
        reach,
        answer,
        thread,
        wishes.length,
        run_out,
        speed(thread.lead_mm, lathe.policy.reaction_time, run_out, lathe.lowest_rpm),
        bed_fit(lathe.bed, wishes.length, thread.lead_mm, thread.pitch_mm, run_out),
        shaped,
        infeed=_infeed(want, thread, shaped),
        clearance=_clearance(thread),
        wood=blank(thread.major, thread.nut_bore) if _wooden(want) and thread.major else None,
    )
    if wishes.hand and wishes.material:
        found = replace(found, pressing=pressing(thread, wishes.hand, wishes.material))
    return found if answer is None else _with_train(found, answer, wishes.crank_force)


def _with_train(found: Setup, answer: Answer, crank_force: float) -> Setup:
    """Add what depends on the train."""
    lathe, thread, train = found.lathe, found.sizes, answer.train
    driven = turning(lathe, train, crank_force)
    return replace(
        found,
        mounting=mounting(lathe, answer, left=found.want.left),
        turning=driven,
        half_nuts=_kept_closed(half_nuts(lathe, train.ratio, found.want.pitch), driven),
        starts=starts(train, thread.starts, thread.pitch_mm) if thread.starts > 1 else None,
    )


def _kept_closed(nuts: HalfNuts, driven: Turning) -> HalfNuts:
    """While the screw drives the spindle the half-nuts are what turns it: they stay closed."""
    if driven.crank is None or nuts.may_open is False:
        return nuts
    return replace(nuts, may_open=False, why="the screw drives the spindle: keep them closed")


def _wooden(want: Want) -> bool:
    return want.use is Use.WOOD


def _infeed(want: Want, thread: Sizes, shaped: Shaping) -> Infeed | None:
    """None where there is no groove to cut, or its depth is unknown."""
    made = shaped.cut
    if made is None or made.depth <= 0 or want.use is Use.FEED:
        return None
    angle = thread.included_angle if thread.flanks and thread.flanks.alike else None
    return infeed(made.depth, thread.pitch_mm, angle, rotating=_wooden(want))


def _clearance(thread: Sizes) -> ToolClearance | None:
    if thread.major is None or thread.minor is None or thread.minor <= 0:
        return None
    return tool_clearance(thread.lead_mm, thread.major, thread.minor)
