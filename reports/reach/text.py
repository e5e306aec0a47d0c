"""Reach for the terminal: can this pitch be cut, how, how far off, and what would help."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.search.common import COMMON_TEETH
from gearchest.optimizer.search.result import Addition, Answer, Reach
from gearchest.reports.words import numbers
from gearchest.reports.words.verdicts import MARKS
from gearchest.reports.words.wording import between, gears_written, levers, teeth, turns_advice

SHORT_LIST = 6
"""Further trains and additions shown unless all are asked for."""


def reach_lines(lathe: Lathe, found: Reach, *, everything: bool = False) -> Iterator[str]:
    """The lines for one pitch; `everything` lists all trains there are."""
    want, shown = found.want, MARKS[found.verdict]
    pitch = " = ".join(numbers.pitch_pair(want.pitch, inch=numbers.inch_first(lathe)))
    hand = ", left hand" if want.left else ""
    lead = "lead " if want.pitch.starts > 1 else ""
    yield f"{shown.symbol} {want.name} ({lead}{pitch}{hand}): {shown.word}"
    if want.allowance.why:
        yield f"  allowed {numbers.allowance(want.allowance.relative)} ({want.allowance.why})"
    else:
        yield f"  allowed {numbers.allowance(want.allowance.relative)}"
    if found.easiest:
        yield from _covered(lathe, found, everything)
    else:
        yield from _not_covered(lathe, found, everything)


def _covered(lathe: Lathe, found: Reach, everything: bool) -> Iterator[str]:
    best = [answer for answer in (found.easiest, found.closest) if answer]
    same = best[0].train == best[-1].train
    titles = ("set up",) if same else ("easiest on the teeth", "closest")
    for title, answer in zip(titles, best, strict=False):
        yield from _set_up(lathe, title, answer)
    if best[0].fit.fits is Fits.UNCHECKED:
        yield "  unchecked: the arm is not measured, only the shop rule was applied"
    shown = [answer.train for answer in best]
    rest = [answer for answer in found.trains if answer.train not in shown]
    yield from _list(lathe, "also", rest, everything)


def _not_covered(lathe: Lathe, found: Reach, everything: bool) -> Iterator[str]:
    if found.misfit:
        yield f"  computes but does not fit: {_train(lathe, found.misfit)}"
        yield from (f"    {why}" for why in found.misfit.fit.misfits)
    if found.closest:
        yield from _set_up(lathe, "nearest that fits", found.closest)
        rest = [a for a in found.trains if a.train != found.closest.train]
        yield from _list(lathe, "further off", rest, everything)
    elif not found.misfit:
        yield "  no train of the gears owned comes within 5 %"
    # The cheapest cure first: a gear costs less than a new arm.
    yield from _additions(lathe, found.additions, everything)
    if found.misfit:
        yield f"  or, for {gears_written(found.misfit.train)}:"
        yield from (f"    {cure}" for cure in found.cures)


def _additions(lathe: Lathe, additions: Sequence[Addition], everything: bool) -> Iterator[str]:
    if not additions:
        first, last = COMMON_TEETH[0], COMMON_TEETH[-1]
        yield f"  no one, two or three further gears of {first} to {last} teeth would do it"
        return
    count = len(additions[0].gears)
    yield f"  {numbers.plural(count, 'gear')} more would do it:"
    for addition in additions if everything else additions[:SHORT_LIST]:
        yield f"    {teeth(addition.gears)}: {_train(lathe, addition.answer)}"
    yield from _more(len(additions), everything)


def _list(lathe: Lathe, title: str, answers: Sequence[Answer], everything: bool) -> Iterator[str]:
    if not answers:
        return
    yield f"  {title}:"
    for answer in answers if everything else answers[:SHORT_LIST]:
        yield f"    {_train(lathe, answer)}"
    yield from _more(len(answers), everything)


def _more(count: int, everything: bool) -> Iterator[str]:
    if count > SHORT_LIST and not everything:
        yield f"    and {count - SHORT_LIST} more (--all lists every one)"


def _set_up(lathe: Lathe, title: str, answer: Answer) -> Iterator[str]:
    yield f"  {title}: {_train(lathe, answer)}"
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
    yield f"    {turns} screw turns a spindle turn: {turns_advice(lathe, answer.train)}"


def _train(lathe: Lathe, answer: Answer) -> str:
    load = f"tooth load {numbers.figure(answer.train.tooth_load)} N per N m"
    settings = levers(lathe, answer.train.setting)
    parts = [gears_written(answer.train), settings, numbers.error(answer.error), load]
    return ", ".join(part for part in parts if part)
