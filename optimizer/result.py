"""What the program answers: fits, verdicts, reach and plan results. Plain data."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from gearchest.optimizer.gear import Gear, Offer
from gearchest.optimizer.lathe import Lathe
from gearchest.optimizer.train import Train
from gearchest.optimizer.want import Want


class Fits(StrEnum):
    """Whether a train can be mounted."""

    YES = "yes"
    NO = "no"
    UNCHECKED = "unchecked"


class Verdict(StrEnum):
    """The state of a want; the first that applies, in this order."""

    EXACT = "exact"
    IN_TOLERANCE = "in tolerance"
    DOES_NOT_FIT = "does not fit"
    OFF = "off"
    NO_TRAIN = "no train"

    @property
    def covered(self) -> bool:
        """Whether the want counts as covered."""
        return self in (Verdict.EXACT, Verdict.IN_TOLERANCE)


@dataclass(frozen=True)
class StudPosition:
    """A stud set up: slot (from 0), position along it in mm, centre (mm, screw shaft at the
    origin, first driver's shaft at (axis_distance, 0)), and the gears it carries."""

    slot: int
    position: float
    x: float
    y: float
    gears: tuple[Gear, ...]


@dataclass(frozen=True)
class Clearance:
    """Room in mm between two parts that must not touch (negative: they overlap). `one` is a
    gear ("the 63"), `other` a gear or what stands proud on a shaft, then of diameter `hub`."""

    mm: float
    one: str
    other: str
    hub: float | None = None

    @property
    def between(self) -> str:
        """Both parts in words."""
        return f"{self.one} and {self.other}"


@dataclass(frozen=True)
class Placement:
    """A train on the arm: arm angle in degrees in (-180, 180] (None for a direct mesh, which
    needs no arm), studs from the first driver's side, every clearance, tightest first."""

    arm_angle: float | None
    studs: tuple[StudPosition, ...]
    clearances: tuple[Clearance, ...]

    @property
    def tightest(self) -> Clearance | None:
        """The smallest clearance; None where nothing comes near anything."""
        return self.clearances[0] if self.clearances else None


@dataclass(frozen=True)
class Fit:
    """Whether a train mounts; where it does, how; where not, why, in the shop's words, with
    the dimension that would cure each reason. `short_by` (mm, degrees for the swing) adds up
    the reasons, to tell a near miss from a hopeless one."""

    fits: Fits
    placement: Placement | None = None
    misfits: tuple[str, ...] = ()
    cures: tuple[str, ...] = ()
    short_by: float = 0.0


@dataclass(frozen=True)
class Answer:
    """One train as an answer to one want. `error` = (actual - wanted) / wanted, exact where
    it is rational. `missing`: gears needed beyond those owned, as often as missing."""

    train: Train
    error: Fraction | float
    verdict: Verdict
    fit: Fit
    missing: tuple[Gear, ...] = ()


@dataclass(frozen=True)
class Addition:
    """Gears that would make a want reachable, and the train they make."""

    gears: tuple[Gear, ...]
    answer: Answer


@dataclass(frozen=True)
class Reach:
    """Whether one want can be cut, and how; see the contract for what each list holds.

    `misfit`: for a want whose trains compute but do not fit, the best of them.
    """

    want: Want
    verdict: Verdict
    closest: Answer | None
    easiest: Answer | None
    trains: tuple[Answer, ...]
    additions: tuple[Addition, ...]
    misfit: Answer | None = None
    cures: tuple[str, ...] = ()


@dataclass(frozen=True)
class AddedGear:
    """A gear of a step: the offer taken, and the names of the wants it decides.

    `unlocks`: wants that would be lost without it, `lost_weight` in all; `alone`: wants it
    would open to the lathe as it is, without the others; `together`: those of `unlocks` that
    need others of the step as well, each with these others.
    """

    offer: Offer
    unlocks: tuple[str, ...]
    alone: tuple[str, ...] = ()
    together: tuple[tuple[str, tuple[Gear, ...]], ...] = ()
    lost_weight: Fraction = Fraction(0)


class Aim(StrEnum):
    """What a set of gears is judged by, after the weight it covers. Less is better."""

    LOAD = "tooth load"  # total of weight x tooth load, N for 1 N m at the leadscrew
    MONEY = "money"
    ERROR = "error"  # total of weight x |relative error|


@dataclass(frozen=True)
class Judged:
    """One objective of a step: `value` reached, `bound` that no set can beat."""

    objective: str
    value: Fraction
    bound: Fraction
    proven: bool


@dataclass(frozen=True)
class RunnerUp:
    """A set that would do nearly as well: what it covers, and the weight it gives away."""

    gears: tuple[Gear, ...]
    covered_weight: Fraction
    loses: Fraction


@dataclass(frozen=True)
class Further:
    """For a want still uncovered, the fewest gears that would cover it on top of a step's.

    `gears` is empty where no set within reach of the search does.
    """

    want: str
    gears: tuple[Gear, ...]


@dataclass(frozen=True)
class Step:
    """The state after adding the best multiset of at most `added` offers.

    `order`: the gears in the best order to get them one at a time, each with the weight
    covered after it. `bound_weight`: no set of this size covers more. `proven`: every
    objective is; `stopped_by` is "" then, else what stopped the proof. `equally_good`: other
    sets of the same size and covered weight, best first. `next_best`: the best set that
    covers less. `dropped`: gears an earlier step had and this one does without. `further`:
    one entry for each want this step leaves uncovered.
    """

    added: int
    gears: tuple[AddedGear, ...]
    price: Fraction
    covered: int
    covered_weight: Fraction
    wanted: int
    wanted_weight: Fraction
    proven: bool
    bound_weight: Fraction
    proven_by: str
    order: tuple[tuple[Gear, Fraction], ...] = ()
    equally_good: tuple[tuple[Gear, ...], ...] = ()
    stopped_by: str = ""
    judged: tuple[Judged, ...] = ()
    next_best: RunnerUp | None = None
    dropped: tuple[Gear, ...] = ()
    further: tuple[Further, ...] = ()


@dataclass(frozen=True)
class WantStep:
    """A want at one step: its verdict and the train to set up (least tooth load within the
    allowance; where none is, the nearest fitting one, or the nearest that computes).

    The verdict is the want's: `exact` where some fitting train has no error, even if the one
    to set up, easier on the teeth, has one; `without_error` is then the exact one.
    `lathe` names the lathe that cuts it where a plan serves two, else "".
    """

    verdict: Verdict
    answer: Answer | None
    lathe: str = ""
    without_error: Answer | None = None


@dataclass(frozen=True)
class Goal:
    """The cheapest set that covers what was asked for.

    `asked`: in words. `reached` is False where no set of offers does; then `step` is the set
    that comes closest and `beyond` names the wants in the way. `states`: by want.
    """

    asked: str
    reached: bool
    step: Step
    states: tuple[WantStep, ...]
    beyond: tuple[str, ...] = ()


@dataclass(frozen=True)
class Spare:
    """The gears owned that could be sold together without losing a want.

    `proven`: no larger number can. `each`: gears that could go one at a time, the rest kept.
    """

    together: tuple[Gear, ...]
    proven: bool
    each: tuple[Gear, ...] = ()


@dataclass(frozen=True)
class Plan:
    """Steps 0..N and, want by want, the state at each of them.

    `unreachable`: wants no set of offers covers within the search, each with its state when
    every offer is at hand (the nearest miss). `knee`: the step after which a further gear
    brings little; None where every step is worth it. `aims`: the objectives after covered
    weight, in order.
    """

    lathe: Lathe
    wants: tuple[Want, ...]
    steps: tuple[Step, ...]
    states: tuple[tuple[WantStep, ...], ...]  # by want, then by step
    notes: tuple[str, ...] = ()
    aims: tuple[Aim, ...] = tuple(Aim)
    unreachable: tuple[tuple[str, WantStep], ...] = ()
    knee: int | None = None
    goal: Goal | None = None
    spare: Spare | None = None
    also: Lathe | None = None
