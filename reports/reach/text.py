"""Reach for the terminal: can this pitch be cut, how, how far off, and what would help."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.common import COMMON_TEETH
from gearchest.optimizer.search.result import Answer, Reach
from gearchest.reports.words import numbers
from gearchest.reports.words.columns import lined_up
from gearchest.reports.words.verdicts import MARKS
from gearchest.reports.words.wording import (
    between,
    gears_written,
    judged,
    levers,
    teeth,
    teeth_used,
    turns_advice,
)

SHORT_LIST = 6
"""Further trains and additions shown unless all are asked for."""


def reach_lines(lathe: Lathe, found: Reach, *, everything: bool = False) -> Iterator[str]:
    """The lines for one pitch; `everything` lists all trains there are."""
    want, shown = found.want, MARKS[found.verdict]
    pitch = " = ".join(numbers.pitch_pair(want.pitch, inch=numbers.inch_first(lathe)))
    hand = ", left hand" if want.left else ""
    lead = "lead " if want.pitch.starts > 1 else ""
    unsure = ", fit unchecked" if _unchecked(found) else ""
    said = f"{shown.word}{unsure}{judged(want.allowance)}"
    yield f"{shown.symbol} {want.name} ({lead}{pitch}{hand}): {said}"
    if want.allowance.why:
        yield f"  allowed {numbers.allowance(want.allowance.relative)} ({want.allowance.why})"
    else:
        yield f"  allowed {numbers.allowance(want.allowance.relative)}"
    if found.best:
        yield from _covered(lathe, found, everything)
    else:
        yield from _not_covered(lathe, found, everything)
    if unsure:
        yield "  unchecked: the arm is not measured, only the shop rule was applied"


def _unchecked(found: Reach) -> bool:
    """Whether whatever is shown was fitted by the shop rule alone."""
    told = (found.closest, *(addition.answer for addition in found.additions))
    return any(answer and answer.fit.fits is Fits.UNCHECKED for answer in told)


def _covered(lathe: Lathe, found: Reach, everything: bool) -> Iterator[str]:
    titled: dict[Train, tuple[str, Answer]] = {}
    nearer = _nearer(found)
    title_nearer = "closest" if nearer and nearer.error else "without error"
    for title, answer in (
        ("set up", found.best), (title_nearer, nearer), ("easier on the teeth", _easier(found))
    ):  # fmt: skip
        if answer:
            titled.setdefault(answer.train, (title, answer))
    best = [answer for _, answer in titled.values()]
    for title, answer in titled.values():
        yield from _set_up(lathe, title, found.want, answer)
    shown = [answer.train for answer in best]
    rest = [answer for answer in found.trains if answer.train not in shown]
    yield from _list(lathe, "also", found.want, rest, everything)


def _nearer(found: Reach) -> Answer | None:
    """Of the trains nearest in pitch the one to be set up first; None where the train to set up
    is as near."""
    if found.best is None or found.closest is None:
        return None
    least = abs(found.closest.error)
    if abs(found.best.error) == least:
        return None
    return next((one for one in found.trains if abs(one.error) == least), found.closest)


def _easier(found: Reach) -> Answer | None:
    """The one whose teeth carry the least share of what they bear, of those listed; None where
    the train to set up carries no more, to a per cent."""
    best = found.best
    if best is None or best.merit.tooth_share is None:
        return found.easiest
    known = [
        (one.merit.tooth_share, number, one)
        for number, one in enumerate((*found.trains, found.easiest))
        if one and one.merit.tooth_share is not None
    ]
    share, _, least = min(known, default=(best.merit.tooth_share, 0, best))
    return least if numbers.percent(share) != numbers.percent(best.merit.tooth_share) else None


def _not_covered(lathe: Lathe, found: Reach, everything: bool) -> Iterator[str]:
    if found.misfit:
        yield f"  computes but does not fit: {_train(lathe, found.want, found.misfit)}"
        inch = numbers.inch_first(lathe)
        yield from (f"    {numbers.told(why, inch=inch)}" for why in found.misfit.fit.misfits)
    if found.closest:
        sure = found.closest.fit.fits is Fits.YES
        title = "nearest that fits" if sure else "nearest, fit unchecked"
        yield from _set_up(lathe, title, found.want, found.closest)
        rest = [a for a in found.trains if a.train != found.closest.train]
        yield from _list(lathe, "no nearer", found.want, rest, everything)
    elif not found.misfit:
        yield "  no train of the gears owned comes within 5 %"
    # The cheapest cure first: a gear costs less than a new arm.
    yield from _additions(lathe, found, everything)
    if found.misfit:
        yield f"  or, for {gears_written(found.misfit.train)}:"
        inch = numbers.inch_first(lathe)
        yield from (f"    {numbers.told(cure, inch=inch)}" for cure in found.cures)


def _additions(lathe: Lathe, found: Reach, everything: bool) -> Iterator[str]:
    additions = found.additions
    if not additions and found.want.allowance.relative < 0:
        yield "  no gears would do it: the leadscrew alone is off by more than is allowed"
        return
    if not additions:
        first, last = COMMON_TEETH[0], COMMON_TEETH[-1]
        yield f"  no one, two or three further gears of {first} to {last} teeth would do it"
        return
    count = len(additions[0].gears)
    yield f"  {numbers.plural(count, 'gear')} more would do it:"
    shown = additions if everything else additions[:SHORT_LIST]
    gears = [f"{teeth(addition.gears)}:" for addition in shown]
    trains = lined_up([_cells(lathe, found.want, addition.answer) for addition in shown])
    wide = max(map(len, gears))
    for added, train in zip(gears, trains, strict=True):
        yield f"    {added:<{wide}} {train}"
    yield from _more(len(additions), everything)


def _list(
    lathe: Lathe, title: str, want: Want, answers: Sequence[Answer], everything: bool
) -> Iterator[str]:
    if not answers:
        return
    yield f"  {title}:"
    shown = answers if everything else answers[:SHORT_LIST]
    for line in lined_up([_cells(lathe, want, answer) for answer in shown]):
        yield f"    {line}"
    yield from _more(len(answers), everything)


def _more(count: int, everything: bool) -> Iterator[str]:
    if count > SHORT_LIST and not everything:
        yield f"    and {count - SHORT_LIST} more (--all lists every one)"


def _set_up(lathe: Lathe, title: str, want: Want, answer: Answer) -> Iterator[str]:
    yield f"  {title}: {_train(lathe, want, answer)}"
    placement = answer.fit.placement
    inch = numbers.inch_first(lathe)
    if lathe.banjo and placement and placement.studs:
        several = len(lathe.banjo.slots) > 1
        studs = ", ".join(
            f"stud{f' in {lathe.banjo.slot_name(stud.slot)}' if several else ''} at "
            f"{numbers.length_pair(stud.position, inch=inch)}"
            for stud in placement.studs
        )
        yield f"    {studs}, arm at {numbers.degrees(placement.arm_angle or 0.0)}"
    if placement and placement.tightest:
        room = numbers.length_pair(placement.tightest.mm, inch=inch)
        yield f"    tightest: {room} between {between(answer.train, placement.tightest)}"
    turns = numbers.figure(answer.train.ratio, 2)
    yield f"    {turns} screw turns a spindle turn: {turns_advice(lathe, want, answer.train.ratio)}"


def _train(lathe: Lathe, want: Want, answer: Answer) -> str:
    return ", ".join(cell for cell in _cells(lathe, want, answer) if cell)


def _cells(lathe: Lathe, want: Want, answer: Answer) -> tuple[str, str, str, str]:
    settings = levers(lathe, answer.train.setting)
    off = numbers.error(answer.error, want.allowance.relative)
    return gears_written(answer.train), settings, off, teeth_used(answer)
