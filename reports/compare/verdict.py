"""Which of two lathes to keep, and what would bring the other up to it, in sentences."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.compare import Comparison, Kinder, kinder
from gearchest.optimizer.search.merit import Merit
from gearchest.reports.plan.advice_words import gears_text, listed
from gearchest.reports.words import numbers

HARDLY = 4
"""Demerits a thread by which trains are about as good, as on a chart for the wall."""


def verdict(found: Comparison) -> str:
    """Which lathe to keep: by the weight it covers, on teeth that bear it first, then by its trains
    for what both cut."""
    side = _covers_more(found)
    if side is not None:
        return f"Keep {_name(found, side)}: {_how_much_more(found, side)}."
    if not found.both:
        return f"Keep either: {_equal(found)}."
    side = _kinder(found)
    if side is None and (unchecked := _unchecked(found)):
        told = unchecked[0] if len(unchecked) == 1 else numbers.plural(len(unchecked), "thread")
        return (
            f"Keep either, as far as is known: {_equal(found)}; what the teeth bear is unchecked "
            f"for {told}."
        )
    if side is None:
        return f"Keep either: {_equal(found)}, with trains about as good."
    return f"Keep {_name(found, side)}: {_equal(found)}, but {_why_kinder(found, side)}."


def levels(found: Comparison) -> list[str]:
    """What would bring each lathe up to the other, a sentence each, the one to let go first."""
    side = _covers_more(found)
    if side is None:
        side = _kinder(found)
    sides = (0, 1) if side is None else (1 - side, side)
    return [said for one in sides if (said := _level(found, one))]


def _name(found: Comparison, side: int) -> str:
    """A lathe's name as it stands in a sentence."""
    return f"“{found.names[side]}”"


def _equal(found: Comparison) -> str:
    if found.only(0) or found.only(1):
        return "what only the one cuts and what only the other does weigh the same"
    if not found.both:
        return "neither cuts any of these threads"
    of = numbers.plural(len(found.wants), "thread")
    return f"both cut the same {len(found.both)} of {of}"


def _covers_more(found: Comparison) -> int | None:
    """The lathe that covers more weight on teeth that bear it, or else more at all; None where
    both cover as much, or the same threads."""
    if not found.only(0) and not found.only(1):
        return None
    none = Fraction(0)
    for overloaded in ((False,), (False, True)):
        one, other = (
            sum((want.weight for want in _cut(found, side, *overloaded)), none) for side in (0, 1)
        )
        if one != other:
            return int(other > one)
    return None


def _cut(found: Comparison, side: int, *overloaded: bool) -> list[Want]:
    """What a lathe cuts, its teeth overloaded or not."""
    return [
        want
        for want, pair in zip(found.wants, found.states, strict=True)
        if pair[side].verdict.covered and pair[side].overloaded in overloaded
    ]


def _how_much_more(found: Comparison, side: int) -> str:
    """`it cuts 6 of 6 threads, the other 5`, and of how many the teeth are overloaded."""
    of = numbers.plural(len(found.wants), "thread")
    borne, strained = (
        [_cut(found, one, over) for one in (side, 1 - side)] for over in (False, True)
    )
    if not any(strained):
        return f"it cuts {len(borne[0])} of {of}, the other {len(borne[1])}"
    if borne[0] == borne[1]:
        more = [want.name for want in found.only(side)]
        told = more[0] if len(more) == 1 else numbers.plural(len(more), "thread")
        equal = "on teeth that bear it both cut the same"
        return f"{equal}, and it cuts {told} besides, on teeth overloaded"
    besides = [f", and {len(some)} on teeth overloaded" if some else "" for some in strained]
    return (
        f"it cuts {len(borne[0])} of {of} on teeth that bear it{besides[0]}; "
        f"the other {len(borne[1])}{besides[1]}"
    )


def _kinder(found: Comparison) -> int | None:
    """The lathe whose trains have fewer demerits over the threads both cut; None where they are
    about as good, or where a tooth of either bears nobody knows how much."""
    if _unchecked(found):
        return None
    both = [_merits(found, side) for side in (0, 1)]
    none = Fraction(0)
    one, other = (sum((weight * merit.demerits for weight, merit in side), none) for side in both)
    weight = sum((weight for weight, _ in both[0]), none)
    return None if abs(one - other) <= HARDLY * weight else int(other < one)


def _unchecked(found: Comparison) -> list[str]:
    """The threads both cut with a train of which nobody knows what its teeth bear."""
    return [
        want.name
        for want, pair in zip(found.wants, found.states, strict=True)
        if all(state.verdict.covered for state in pair)
        and any(state.answer and state.answer.merit.tooth_share is None for state in pair)
    ]


def _why_kinder(found: Comparison, side: int) -> str:
    over = [sum(merit.overloaded for _, merit in _merits(found, one)) for one in (0, 1)]
    better, worse = over[side], over[1 - side]
    if better < worse:
        none = "none" if not better else str(better)
        of = numbers.plural(len(found.both), "thread")
        return f"of {of} both cut the other overloads teeth at {worse}, this one at {none}"
    return "its trains are nearer or easier on the teeth"


def kinder_on(found: Comparison, side: int, *, overload: bool) -> list[tuple[Want, Merit]]:
    """The threads both cut that a lathe does better where it matters, each with how good the
    other's train is."""
    kept = []
    for want, pair in zip(found.wants, found.states, strict=True):
        other = pair[1 - side].answer
        if other and kinder(*pair) == Kinder(side, overload):
            kept.append((want, other.merit))
    return kept


def share_told(merit: Merit) -> str:
    """`122 %`: the largest share of what a tooth bears."""
    return numbers.percent(merit.tooth_share, 3) if merit.tooth_share is not None else ""


def _merits(found: Comparison, side: int) -> list[tuple[Fraction, Merit]]:
    """Of the threads both cut: weight, and how good the train is."""
    return [
        (want.weight, answer.merit)
        for want, pair in zip(found.wants, found.states, strict=True)
        if (answer := pair[side].answer) and all(state.verdict.covered for state in pair)
    ]


def _level(found: Comparison, side: int) -> str:
    upgrades = found.upgrades[side]
    if not upgrades:
        return ""
    name = _name(found, side)
    gears: Counter[Gear] = Counter()
    for up in upgrades:
        gears |= Counter(up.gears)
    if not gears:
        return f"No set of up to three gears brings {name} any thread that only the other cuts."
    added = gears_text(found.lathes[side], sorted(gears.elements(), key=lambda gear: gear.order))
    never = [up.want for up in upgrades if not up.gears]
    rest = f", all but {', '.join(never)}" if never else ""
    if strained := [up.want for up in upgrades if up.overloaded]:
        rest += f", but {listed(strained)} on teeth overloaded"
    return (
        f"With {added} added, {name} would cut what only the other does{rest}. That is enough; "
        "fewer might do."
    )
