"""What a plan answers: steps, the gears of each, and the state of every want."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import magnitude
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.aims import USUAL, Aim
from gearchest.optimizer.search.result import Verdict, WantStep


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
class Alternative:
    """Another set of as many gears, which no set of that size beats in covered weight, demerits
    (as `Step.demerits`) and price; of all sets only where `proven`. `idle`: fewer gears of a step
    before do as much for no more. `largest_error`: the size of the largest relative error of the
    trains that the set was judged by; None where they were not looked at."""

    gears: tuple[Gear, ...]
    covered_weight: Fraction
    demerits: Fraction
    price: Fraction
    proven: bool
    idle: bool = False
    largest_error: float | Fraction | None = None


@dataclass(frozen=True)
class Further:
    """For a want still uncovered, the fewest gears that would cover it on top of a step's.

    `gears` is empty where no set within reach of the search does.
    """

    want: str
    gears: tuple[Gear, ...]


@dataclass(frozen=True)
class Step:
    """The state after adding the best multiset of at most `most` offers.

    `demerits`: sum of weight x demerits over all wants, one not covered counting NOT_COVERED.
    `order`: the gears in the best order to get them one at a time, each with the weight
    covered after it. `bound_weight`: no set of this size covers more. `proven`: every
    objective is; `stopped_by` is "" then, else what stopped the proof. `equally_good`: other
    sets of the same size and covered weight, best first. `next_best`: the best set that
    covers less. `dropped`: gears an earlier step had and this one does without. `further`:
    one entry for each want this step leaves uncovered. `alternatives`: most weight first.
    """

    most: int
    gears: tuple[AddedGear, ...]
    price: Fraction
    covered: int
    covered_weight: Fraction
    demerits: Fraction
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
    alternatives: tuple[Alternative, ...] = ()

    @property
    def others(self) -> tuple[Alternative, ...]:
        """The alternatives that somebody may rather buy."""
        return tuple(one for one in self.alternatives if not one.idle)


@dataclass(frozen=True)
class Goal:
    """The cheapest set that covers what was asked for.

    `asked`: in words. `reached` is False where no set of offers does; then `step` is the set
    that comes closest and `beyond` names the wants in the way. `states`: by want. `certain`:
    whether it was looked for to the end; else some set may do what none was found for.
    """

    asked: str
    reached: bool
    step: Step
    states: tuple[WantStep, ...]
    beyond: tuple[str, ...] = ()
    certain: bool = True


@dataclass(frozen=True)
class Spare:
    """The gears owned that could be sold together without losing a want, nothing being added.

    `proven`: no larger number can. `each`: gears that could go one at a time, the rest kept.
    `inexact`: wants cut without error now, and with one once `together` is gone.
    """

    together: tuple[Gear, ...]
    proven: bool
    each: tuple[Gear, ...] = ()
    inexact: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sparing:
    """The set of one gear more than the step advised that is best to the teeth. `wants`: those
    whose trains overload them with that step and no longer do; `added`: those it covers besides,
    on teeth that bear it; not both are empty."""

    gears: tuple[Gear, ...]
    price: Fraction
    wants: tuple[str, ...]
    added: tuple[str, ...] = ()


class Grounds(StrEnum):
    """Why a step is advised."""

    NOT_LOOKED = "no gears to add were looked for"
    ALL_WELL = "all that can be covered is, and no set makes much of it better"
    NOTHING_HELPS = "no set of the gears offered covers more, or makes much of it better"
    TOO_DEAR = "what gears would bring is not worth their price"
    NO_MORE = "no step covers more, or makes it better"
    LITTLE_MORE = "what further gears bring is little for their price"


@dataclass(frozen=True)
class Advice:
    """The step to buy, 0 where nothing is worth buying. `worth`: the money one weight was taken
    to be worth, None where nothing depends on it. `next`: the step beyond the one advised that
    is the first to be worth its price as one weight is worth more, None where there is none;
    `next_worth`: what one weight is worth then."""

    step: int
    grounds: Grounds
    worth: Fraction | None = None
    next: int | None = None
    next_worth: Fraction | None = None


@dataclass(frozen=True)
class Plan:
    """Steps 0..N and, want by want, the state at each of them.

    `unreachable`: wants no set of offers covers within the search, each with its state when
    every offer is at hand (the nearest miss). `knee`: the step after which a further gear
    brings little; None where every step is worth it. `advice`: which step to buy. `priced`:
    whether prices are the offers' own, not made up to count gears.
    `sought`: whether gears to add were looked for;
    `cut_short`: not all trains were, so that what is not covered may yet be in reach.
    `settled`: all trains of every want were compared, so that those shown are to be set up.
    `aims`: the objectives after covered weight, in order. `sparing`: None where no teeth are
    overloaded, where that was not looked for, or no such set spares any.
    """

    lathe: Lathe
    wants: tuple[Want, ...]
    steps: tuple[Step, ...]
    states: tuple[tuple[WantStep, ...], ...]  # by want, then by step
    notes: tuple[str, ...] = ()
    aims: tuple[Aim, ...] = USUAL
    unreachable: tuple[tuple[str, WantStep], ...] = ()
    knee: int | None = None
    goal: Goal | None = None
    spare: Spare | None = None
    also: Lathe | None = None
    advice: Advice = Advice(0, Grounds.NOT_LOOKED)
    priced: bool = True
    sought: bool = True
    cut_short: bool = False
    sparing: Sparing | None = None

    @property
    def certain(self) -> bool:
        """Whether no set of as many gears as the steps have covers more than they do."""
        return not self.cut_short and all(
            step.bound_weight == step.covered_weight for step in self.steps
        )

    @property
    def settled(self) -> bool:
        """See above."""
        return all(state.settled for states in self.states for state in states)

    @property
    def bought(self) -> int:
        """The step advised, or the last where none is."""
        return self.advice.step or len(self.steps) - 1

    @property
    def enough(self) -> int:
        """The step after which none covers more weight, or the advised one where that is later."""
        most = max(step.covered_weight for step in self.steps)
        first = next(k for k, step in enumerate(self.steps) if step.covered_weight == most)
        return max(first, self.advice.step)

    @property
    def all_covered(self) -> bool:
        """Whether some step covers every want."""
        return any(step.covered == step.wanted for step in self.steps)

    def largest_error(self, step: int) -> float | Fraction | None:
        """The size of the largest relative error that a step's covered wants are cut with; None
        where it covers none."""
        answers = [states[step].answer for states in self.states if states[step].verdict.covered]
        return max((magnitude(one.error) for one in answers if one), default=None)

    def overloads(self, step: int) -> tuple[str, ...]:
        """Wants whose train of this step overloads its teeth."""
        return tuple(
            want.name
            for want, states in zip(self.wants, self.states, strict=True)
            if states[step].overloaded
        )

    @property
    def straining(self) -> int | None:
        """Of the steps past the one advised the first that covers more, where it overloads the
        teeth of a want it adds."""
        now = self.advice.step
        enough = self.steps[now].covered_weight
        more = [k for k, one in enumerate(self.steps) if k > now and one.covered_weight > enough]
        added = [
            states[more[0]] for states in self.states if more and not states[now].verdict.covered
        ]
        return more[0] if any(state.overloaded for state in added) else None

    def loses_exactness(self, step: int) -> tuple[str, ...]:
        """Wants cut without error by the lathe as it is, or with the step before, that this
        step's train cuts with one."""
        if not step:
            return ()
        return tuple(
            want.name
            for want, states in zip(self.wants, self.states, strict=True)
            if Verdict.EXACT in (states[0].verdict, states[step - 1].verdict)
            and states[step].verdict is not Verdict.EXACT
        )

    def trades_exactness(self, step: int) -> tuple[str, ...]:
        """Those of `loses_exactness` that could be cut without error still: the train set up is
        kinder."""
        lost = set(self.loses_exactness(step))
        return tuple(
            want.name
            for want, states in zip(self.wants, self.states, strict=True)
            if want.name in lost and states[step].without_error is not None
        )
