"""Two lathes side by side: what each can cut, which does it better, what would level them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.pitch import magnitude
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.reach import Bench, additions
from gearchest.optimizer.search.result import Verdict, WantStep
from gearchest.optimizer.search.search import Candidates


@dataclass(frozen=True)
class Upgrade:
    """The fewest gears with which a lathe would cut a want as well; empty where no set of
    up to three candidates does. `overloaded`: the train they make overloads its teeth."""

    want: str
    gears: tuple[Gear, ...]
    overloaded: bool = False


@dataclass(frozen=True)
class Comparison:
    """Both lathes' answers, want by want.

    `states`: by want, then by lathe. `upgrades`: for each lathe the wants that only the
    other covers. `shared`: gears that would serve both (see `shared_gears`).
    """

    lathes: tuple[Lathe, Lathe]
    wants: tuple[Want, ...]
    states: tuple[tuple[WantStep, WantStep], ...]
    upgrades: tuple[tuple[Upgrade, ...], tuple[Upgrade, ...]]
    shared: tuple[Gear, ...]

    @property
    def names(self) -> tuple[str, str]:
        """The lathes' names; numbered where they are the same, as before and after a change."""
        one, other = (lathe.name for lathe in self.lathes)
        return (one, other) if one != other else (f"{one} (1)", f"{other} (2)")

    def only(self, side: int) -> list[Want]:
        """What one lathe covers and the other does not."""
        return [
            want
            for want, pair in zip(self.wants, self.states, strict=True)
            if pair[side].verdict.covered and not pair[1 - side].verdict.covered
        ]

    @property
    def both(self) -> list[Want]:
        """What both cover."""
        return [
            want
            for want, pair in zip(self.wants, self.states, strict=True)
            if all(state.verdict.covered for state in pair)
        ]

    @property
    def neither(self) -> list[Want]:
        """What neither covers."""
        return [
            want
            for want, pair in zip(self.wants, self.states, strict=True)
            if not any(state.verdict.covered for state in pair)
        ]


@dataclass(frozen=True)
class Merits:
    """Which lathe does better at one want, by each measure: 0, 1, or None where they tie.

    `error` compares the better of the two trains a state holds, so that a lathe with an exact
    train never loses to one without; `load` and `turns` compare the trains to set up.
    """

    error: int | None
    load: int | None
    turns: int | None


def merits(one: WantStep, other: WantStep) -> Merits | None:
    """Compare two covered states; None unless both are. Less is better."""
    if not (one.verdict.covered and other.verdict.covered):
        return None
    first, second = one.answer, other.answer
    if first is None or second is None:
        return None
    return Merits(
        _less(magnitude(least_error(one)), magnitude(least_error(other))),
        _less(first.train.tooth_load, second.train.tooth_load),
        _less(first.train.ratio, second.train.ratio),
    )


@dataclass(frozen=True)
class Kinder:
    """Which of two lathes does a want better where that matters: `side` 0 or 1. `overload`: the
    other's train is known to overload a tooth and this one's not to, else this one's alone is
    without error."""

    side: int
    overload: bool


def kinder(one: WantStep, other: WantStep) -> Kinder | None:
    """Compare the trains to set up of two covered states; None where neither is better by what
    matters, or unless both are covered. A broken tooth outweighs an error the thread bears."""
    if not (one.verdict.covered and other.verdict.covered and one.answer and other.answer):
        return None
    merit = one.answer.merit, other.answer.merit
    if merit[0].overloaded != merit[1].overloaded:
        side = int(merit[0].overloaded)
        return Kinder(side, True) if merit[side].tooth_share is not None else None
    exact = [state.verdict is Verdict.EXACT for state in (one, other)]
    return Kinder(int(exact[1]), False) if exact[0] != exact[1] else None


def least_error(state: WantStep) -> Fraction | float:
    """The error of the train without error where there is one, else of the one to set up."""
    best = state.without_error or state.answer
    assert best is not None
    return best.error


def compare(
    lathes: tuple[Lathe, Lathe],
    wants: Sequence[Want],
    candidates: tuple[Candidates, Candidates] = ((), ()),
) -> Comparison:
    """Judge every want on both lathes as they are.

    `candidates`: gears that could be added to each; without them no upgrade is found.
    """
    benches = [Bench(lathe) for lathe in lathes]
    states = tuple((benches[0].settle(want), benches[1].settle(want)) for want in wants)
    first, second = (
        tuple(
            _upgrade(lathes[side], want, candidates[side])
            for want, pair in zip(wants, states, strict=True)
            if pair[1 - side].verdict.covered and not pair[side].verdict.covered
        )
        for side in (0, 1)
    )
    shared = shared_gears(lathes, (first, second))
    return Comparison(lathes, tuple(wants), states, (first, second), shared)


def shared_gears(
    lathes: tuple[Lathe, Lathe], upgrades: tuple[Sequence[Upgrade], Sequence[Upgrade]]
) -> tuple[Gear, ...]:
    """Gears that serve both: wanted by one lathe and either owned or wanted by the other.

    So a gear one lathe lacks is in it when the other has it in its chest to lend, or lacks it
    as well and one could be bought for both. It must mesh with the gears of both (module and
    pressure angle) and go on the same shafts: no gear where the bores given differ.
    """
    bores = {lathe.making.bore for lathe in lathes} - {None}
    if len(bores) > 1:
        return ()
    wanted = [{_kind(gear) for up in side for gear in up.gears} for side in upgrades]
    had = [{_kind(gear) for gear in owned_gears(lathe)} for lathe in lathes]
    kinds = wanted[0] & (wanted[1] | had[1]) | wanted[1] & had[0]
    gears = {_kind(gear): gear for side in upgrades for up in side for gear in up.gears}
    return tuple(sorted((gears[kind] for kind in kinds), key=lambda gear: gear.order))


def _kind(gear: Gear) -> tuple[int, Fraction, Fraction]:
    return gear.teeth, gear.module, gear.pressure_angle


def _upgrade(lathe: Lathe, want: Want, candidates: Candidates) -> Upgrade:
    found = additions(lathe, want, candidates, most=1) if candidates else ()
    if not found:
        return Upgrade(want.name, ())
    return Upgrade(want.name, found[0].gears, found[0].answer.merit.overloaded)


def _less(one: Fraction | float, other: Fraction | float) -> int | None:
    if one == other:
        return None
    return 0 if one < other else 1
