"""Everything needed to cut one thread on one lathe."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Use, Want
from gearchest.optimizer.search.result import Answer, Reach
from gearchest.optimizer.threads.tip import Tip
from gearchest.optimizer.turning.cautions import Caution, cautions
from gearchest.optimizer.turning.cranking import CRANK_FORCE, Crank
from gearchest.optimizer.turning.cutter import Cutter
from gearchest.optimizer.turning.driving import Turning, crank, turning
from gearchest.optimizer.turning.half_nuts import HalfNuts, How, half_nuts
from gearchest.optimizer.turning.job import Job
from gearchest.optimizer.turning.milling import Feed, Milling, feed, milling
from gearchest.optimizer.turning.mounting import Mounting, mounting
from gearchest.optimizer.turning.passes import Infeed, infeed, milled
from gearchest.optimizer.turning.pressing import Load, Pressing, pressing
from gearchest.optimizer.turning.screw_force import ScrewMaterial
from gearchest.optimizer.turning.shaping import Shaping, shaping
from gearchest.optimizer.turning.sizes import Sizes, sizes
from gearchest.optimizer.turning.speed import Speed
from gearchest.optimizer.turning.way import largest_cut, usual_run_out, way_of_working
from gearchest.optimizer.turning.wood import Wood, wood
from gearchest.optimizer.turning.work import (
    BedFit,
    Starts,
    ToolClearance,
    bed_fit,
    starts,
    tool_clearance,
)
from gearchest.optimizer.turning.working import Working

CARBIDE = 3.0
"""Times as fast as high speed steel that a carbide tool may cut (common practice, no source)."""


@dataclass(frozen=True)
class Wishes:
    """What is asked beyond the thread. Lengths in mm, `crank_force` in N; `form` as in `sizes`;
    `tip` and `class_name` as in `shaping`; `load` on the finished screw; `material`
    of the work, `carbide` or high speed steel for the tool; `cutter` where a powered one cuts."""

    form: str = ""
    tip: Tip | None = None
    class_name: str = ""
    length: float | None = None
    run_out: float | None = None
    crank_force: float = CRANK_FORCE
    load: Load | None = None
    material: ScrewMaterial | None = None
    carbide: bool = False
    cutter: Cutter | None = None


@dataclass(frozen=True)
class Setup:
    """One thread on one lathe. `answer` is the train to set up, else the closest
    that fits, else None; what depends on a train is None without one. `lead`: mm a turn
    that the train cuts, the nominal one without a train. `working` comes first: speeds, passes,
    infeed, half-nuts and cautions follow from it. `chosen`: the reader chose the train, whatever
    `reach` says."""

    lathe: Lathe
    want: Want
    reach: Reach
    answer: Answer | None
    sizes: Sizes
    wishes: Wishes
    run_out: float
    lead: float
    working: Working
    speed: Speed
    bed: BedFit
    shaping: Shaping
    mounting: Mounting | None = None
    turning: Turning | None = None
    half_nuts: HalfNuts | None = None
    infeed: Infeed | None = None
    clearance: ToolClearance | None = None
    milling: Milling | None = None
    feed: Feed | None = None
    crank: Crank | None = None
    starts: Starts | None = None
    wood: Wood | None = None
    pressing: Pressing | None = None
    chosen: bool = False

    @property
    def length(self) -> float | None:
        """mm of thread, None where not asked."""
        return self.wishes.length

    @property
    def nut(self) -> float:
        """mm of length that a nut has: as asked, else its diameter, 0 where that is unknown."""
        return self.length or self.sizes.found.major_mm or 0.0

    @property
    def tapped(self) -> bool:
        """Whether the powered cutter cannot work in this bore, so that a tap is to be made: a
        screw of the nut's size, cut on this train."""
        return self.milling is not None and self.milling.obstacle(self.nut) is not None

    @property
    def in_tolerance(self) -> bool:
        """Whether the train shown keeps the thread's allowance and can be mounted."""
        return self.answer is not None and self.answer.verdict.covered

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """What to look out for, gravest first."""
        job = Job(
            name=self.want.name,
            thread=self.want.thread,
            allowance=self.want.allowance,
            sizes=self.sizes,
            shaping=self.shaping,
            working=self.working,
            speed=self.speed,
            nose=self.lathe.spindle_nose,
            mating=self.want.mating,
            engaged=None if self.want.engaged is None else float(self.want.engaged),
            tapped=self.tapped,
            screw_error=self.lathe.screw_error,
            length=self.length,
            run_out=self.run_out,
            answer=self.answer,
            chosen=self.chosen,
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


def setup(
    lathe: Lathe, want: Want, reach: Reach, wishes: Wishes, chosen: Answer | None = None
) -> Setup:
    """Work out everything for one thread; `reach` is what the lathe can do for it, `chosen` the
    train that the reader will have.

    Raises KeyError for an unknown thread form, NoInternalThread where the form has
    none, ValueError for a class that the thread's standard does not have.
    """
    thread = sizes(want, wishes.form)
    answer = chosen or reach.best or reach.closest
    error = None if answer is None else float(answer.error)
    shaped = shaping(want, thread, error, tip=wishes.tip, class_name=wishes.class_name)
    run_out = usual_run_out(want) if wishes.run_out is None else wishes.run_out
    if answer is None:
        lead, turns = thread.lead_mm, Fraction(thread.lead_mm / lathe.leadscrew.lead.mm)
    else:
        turns = answer.train.ratio
        lead = float(turns) * lathe.leadscrew.lead.mm
    made = None if want.use is Use.FEED else shaped.cut
    found_way = way_of_working(
        lathe,
        want,
        turns,
        run_out=run_out,
        cutting_speed=_cutting_speed(lathe, wishes),
        diameter=largest_cut(made),
        wooden=wishes.material is not None and wishes.material.wood,
    )
    way = found_way.working
    found = Setup(
        lathe,
        want,
        reach,
        answer,
        thread,
        wishes,
        run_out,
        lead,
        way,
        replace(found_way.speed, powered=way.powered),
        bed_fit(lathe.bed, wishes.length, lead, thread.pitch_mm, run_out),
        shaped,
        wood=_wood(thread) if want.use is Use.WOOD else None,
        chosen=chosen is not None,
    )
    if wishes.load and wishes.material:
        found = replace(found, pressing=pressing(thread, wishes.load, wishes.material))
    if answer is not None:
        found = _with_train(found, answer)
    return _with_tool(found)


def _with_train(found: Setup, answer: Answer) -> Setup:
    """Add what depends on the train."""
    lathe, way, train = found.lathe, found.working, answer.train
    count = found.sizes.starts
    return replace(
        found,
        mounting=mounting(lathe, answer, left=found.want.left),
        turning=turning(lathe, train, way),
        half_nuts=half_nuts(
            lathe,
            train.ratio,
            found.want.pitch,
            run=found.bed.run,
            screw_drives=way.screw_drives,
            feed=found.want.use is Use.FEED,
            left=found.want.left,
        ),
        starts=starts(train, count, found.lead) if count > 1 else None,
        crank=crank(lathe, train, way, found.lead, found.wishes.crank_force),
    )


def _with_tool(found: Setup) -> Setup:
    """Add what depends on what cuts: passes, tool or cutter, and the turns of a crank."""
    thread, made, way = found.sizes, found.shaping.cut, found.working
    passes = None
    if made is not None and made.depth > 0 and found.want.use is not Use.FEED:
        angle = thread.included_angle if thread.flanks and thread.flanks.alike else None
        along = found.starts is not None and found.starts.teeth is None
        passes = (
            milled(made.depth, wooden=way.wooden)
            if way.cutter
            else infeed(made.depth, thread.pitch_mm, angle, straight=along or found.bed.by_slide)
        )
    found = replace(found, infeed=passes, crank=_cranked(found, passes))
    if not way.cutter:
        return replace(found, clearance=_clearance(thread, found.lead))
    held = milling(
        thread, made, found.lead, wooden=way.wooden, cutter=found.wishes.cutter, nut=found.nut
    )
    found = replace(found, milling=held, shaping=replace(found.shaping, boring=None))
    if found.tapped:
        return replace(found, infeed=None, crank=None)
    if found.crank is None:
        return found
    turns = found.lead / found.crank.advance
    return replace(found, feed=feed(held, turns, wooden=way.wooden))


def _cranked(found: Setup, passes: Infeed | None) -> Crank | None:
    """The crank with what it has to do."""
    if found.crank is None or passes is None:
        return found.crank
    closed = found.half_nuts is not None and found.half_nuts.how is How.CLOSED
    count = len(passes.depths) * found.sizes.starts * found.bed.settings
    return replace(found.crank, run=found.bed.run, passes=count, back=closed)


def _cutting_speed(lathe: Lathe, wishes: Wishes) -> float | None:
    """m/min: the lathe file's, else by tool and material; None where neither says."""
    metres, material = lathe.policy.cutting_speed, wishes.material
    if metres is None and material is not None and material.threading is not None:
        return material.threading * (CARBIDE if wishes.carbide else 1.0)
    return metres


def _wood(thread: Sizes) -> Wood | None:
    screw = thread.found
    if screw.major_mm is None:
        return None
    return wood(screw.major_mm, screw.nut_bore_mm, screw.nut_major_mm, inside=thread.inside)


def _clearance(thread: Sizes, lead: float) -> ToolClearance | None:
    if thread.major is None or thread.minor is None or thread.minor <= 0:
        return None
    return tool_clearance(lead, thread.major, thread.minor)
