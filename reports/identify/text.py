"""An unknown thread for the terminal: what it can be, how to tell, whether this lathe cuts it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.identify import Against, Candidate, Identification, by_pitch
from gearchest.optimizer.threads.measurement import Measured
from gearchest.optimizer.threads.tell_apart import Apart
from gearchest.reports.identify.document import Cut
from gearchest.reports.words import numbers
from gearchest.reports.words.columns import Column, paragraph, table
from gearchest.reports.words.verdicts import MARKS
from gearchest.reports.words.wording import gears_written, levers

MOST_SHOWN = 8
SELDOM = 0.005
"""Candidates less likely are only counted."""

_AS_WELL = 0.05
"""Candidates so likely are part of the answer."""

_MOST_ALIKE = 12
"""Names in a row where only the pitch is known."""

_LONG = 25.0
"""mm: few bolts have more thread to count along."""

_KNOWN_SCREW = (
    "Where there is not so much thread, lay a screw known to be one of them in the grooves, "
    "against the light: the other drifts out of step."
)


def identify_lines(
    found: Identification,
    apart: Apart | None,
    lathe: Lathe | None = None,
    cuts: Sequence[Cut] = (),
    *,
    width: int | None,
    everything: bool = False,
) -> list[str]:
    """The lines, at most `width` characters long where that is given; `everything` lists every
    candidate."""
    if not found.candidates:
        return paragraph(
            "Nothing in the catalogs comes near: measure the diameter over the crests (--inside: "
            "between those of the nut) and count again.", width
        )  # fmt: skip
    lines = [*paragraph(_answer(found), width), *paragraph(_said(found.measured), width), ""]
    shown = found.candidates if everything else found.candidates[: _count(found, cuts)]
    if found.measured.diameter is None and not everything and lathe is None:
        lines += _by_pitch(found, width)
    else:
        lines += table(_columns(found, shown, lathe, cuts), width)[0]
        if rest := len(found.candidates) - len(shown):
            lines += paragraph(f"and {rest} less likely (--all lists every one)", width)
    words = [*_telling(found, apart), *_recounts(found), *_own(found), *_unseen(found.measured)]
    lines.append("")
    return [*lines, *(line for text in words for line in paragraph(text, width))]


def _count(found: Identification, cuts: Sequence[Cut]) -> int:
    likely = sum(candidate.likelihood >= SELDOM for candidate in found.candidates)
    return len(cuts) or min(MOST_SHOWN, max(2, likely))


def _answer(found: Identification) -> str:
    first = found.candidates[0]
    if not first.within:
        return (
            "Nothing likely in the catalogs is within the errors said; the nearest: "
            f"{first.thread.name}{_contradicted(found.measured, first)}."
        )
    if found.measured.diameter is None:
        pitch = by_pitch(found)[0][0].thread.pitch
        return f"A pitch of {pitch}, most likely; --diameter tells which size."
    able = [c for c in found.candidates if c.within and c.likelihood >= _AS_WELL]
    return f"{' or '.join(f'{c.thread.name} ({_likely(c.likelihood)})' for c in able[:4])}."


def _contradicted(measured: Measured, candidate: Candidate) -> str:
    """What a thread's flanks have against what was read; pitch and diameter have columns."""
    if Against.FLANKS not in candidate.against or measured.angle is None:
        return ""
    return f", but its flanks stand at {_flanks(candidate)}, not {measured.angle:g}°"


def _said(measured: Measured) -> str:
    """What the measurement comes to, with what it can be off by."""
    count = measured.count
    least, most = count.each
    what = "lead" if count.turned else "pitch"
    parts = [
        f"Measured: {what} {numbers.figure(least, 3)} to {numbers.figure(most, 3)} mm "
        f"({numbers.figure(25.4 / most, 2)} to {numbers.figure(25.4 / least, 2)} "
        f"{'turns an inch' if count.turned else 'tpi'})"
    ]
    if measured.diameter is not None:
        where = "between the nut's crests" if measured.inside else "over the crests"
        parts.append(
            f"{numbers.figure(measured.diameter, 2)} mm {where}, off by "
            f"{numbers.figure(measured.error, 2)} mm at most"
        )
    if measured.angle is not None:
        parts.append(f"flanks at {measured.angle:g}°")
    return ", ".join(parts) + "."


def _by_pitch(found: Identification, width: int | None) -> Iterator[str]:
    """The sizes of each pitch in a row."""
    for alike in by_pitch(found)[:MOST_SHOWN]:
        share = sum(candidate.likelihood for candidate in alike)
        if share < SELDOM:
            break
        agreeing = [candidate for candidate in alike if candidate.within]
        names = [candidate.thread.name for candidate in agreeing or alike][:_MOST_ALIKE]
        rest = len(alike) - len(names)
        more = f" and {rest} more" if rest else ""
        likely = _likely(share) if agreeing else _against(alike[0])
        head = f"{alike[0].thread.pitch} ({likely}, measured {_off(alike[0])})"
        yield from paragraph(f"{head}: {', '.join(names)}{more}", width)


def _columns(
    found: Identification, shown: Sequence[Candidate], lathe: Lathe | None, cuts: Sequence[Cut]
) -> list[Column]:
    what = "Lead" if found.measured.count.turned else "Pitch"
    columns = [
        Column("Thread", tuple(c.thread.name for c in shown)),
        Column("Likely", tuple(map(_share, shown)), 1, numeric=True),
        Column(f"{what} measured", tuple(_off(c) for c in shown), 3, numeric=True),
        Column("Diameter measured", tuple(map(_across, shown)), 4, numeric=True),
        Column("Flanks", tuple(map(_flanks, shown)), 6, numeric=True),
        Column("Also", tuple(", ".join(c.known.names[1:]) for c in shown), 7),
    ]
    if lathe is not None:
        rest = ("",) * (len(shown) - len(cuts))
        words = [_verdict(cut) for cut in cuts]
        gears = [_gears(lathe, cut) for cut in cuts]
        columns.append(Column("This lathe", (*words, *rest), 2))
        columns.append(Column("Gears", (*gears, *rest), 5))
    return columns


def _verdict(cut: Cut) -> str:
    _, state = cut
    unchecked = state.answer is not None and state.answer.fit.fits is Fits.UNCHECKED
    return f"{MARKS[state.verdict].word}{', unchecked' if unchecked else ''}"


def _gears(lathe: Lathe, cut: Cut) -> str:
    answer = cut[1].answer
    if answer is None:
        return ""
    parts = (gears_written(answer.train), levers(lathe, answer.train.setting))
    return ", ".join(part for part in parts if part)


def _share(candidate: Candidate) -> str:
    """How likely; of what only a slip would explain, what it contradicts."""
    return _likely(candidate.likelihood) if candidate.within else _against(candidate)


def _against(candidate: Candidate) -> str:
    return f"not the {' and '.join(what.value for what in candidate.against)}"


def _likely(share: float) -> str:
    if share > 0.99:
        return "> 99 %"
    return "< 1 %" if share < 0.01 else f"{share * 100:.0f} %"


def _off(candidate: Candidate) -> str:
    """How far the measured pitch or lead is off the catalogued one."""
    off = candidate.lead_error * 100
    if abs(off) < 0.05:
        return "the same"
    return f"{numbers.figure(abs(off), 1)} % {'more' if off > 0 else 'less'}"


def _across(candidate: Candidate) -> str:
    off = candidate.diameter_error
    if off is None:
        return ""
    if abs(off) < 0.005:
        return "the same"
    return f"{numbers.figure(abs(off), 2)} mm {'more' if off > 0 else 'less'}"


def _flanks(candidate: Candidate) -> str:
    angle = FORMS[candidate.thread.form].included_angle_deg
    return "round" if angle is None else f"{angle:g}°"


def _telling(found: Identification, apart: Apart | None) -> Iterator[str]:
    """How the first two are told apart, the easiest way first."""
    if apart is None:
        if len(found.candidates) > 1 and found.candidates[0].within:
            yield "Nothing else comes near."
        return
    one, other = apart.names
    if not apart.measurable:
        what = "Pitch" if found.measured.diameter is None else "Pitch and diameter"
        yield f"{what} do{'es' if what == 'Pitch' else ''} not tell {one} from {other}."
        if apart.count:
            yield (
                f"A count would have to go over {apart.count.threads} threads, "
                f"{numbers.figure(max(apart.count.lengths), 0)} mm."
            )
    if ways := list(_ways(found, apart)):
        yield f"To tell {one} from {other}: {'; or '.join(ways)}."
    elif found.measured.diameter is not None:
        yield "Nor do flanks, taper or depth: they are the same within what can be measured."
    if apart.count and apart.reachable and max(apart.count.lengths) > _LONG:
        yield _KNOWN_SCREW


def _ways(found: Identification, apart: Apart) -> Iterator[str]:
    count = found.measured.count
    noun = "turns" if count.turned else "threads"
    if apart.count and apart.reachable:
        one, other = apart.count.lengths
        times = 1.0
        if count.counted and apart.count.threads <= count.threads:  # the count made is enough
            times = float(count.threads) / apart.count.threads
        yield (
            f"{times * apart.count.threads:g} {noun} are {numbers.figure(times * one, 2)} or "
            f"{numbers.figure(times * other, 2)} mm long"
        )
    if apart.diameters:
        (low, high), (least, most) = apart.diameters
        yield (
            f"made, they are {numbers.figure(low, 2)} to {numbers.figure(high, 2)} or "
            f"{numbers.figure(least, 2)} to {numbers.figure(most, 2)} mm across"
        )
    if apart.angles:
        one, other = apart.angles
        yield f"their flanks stand at {one:g}° or {other:g}°: try gauges of both against the light"
    if apart.tapers:
        which = "the first" if apart.tapers[0] > apart.tapers[1] else "the second"
        yield f"{which} is a taper, 1 mm of diameter in 16 mm of length: measure at both ends"
    if apart.depths:
        one, other = apart.depths
        yield f"the bolt's thread is {numbers.figure(one, 2)} or {numbers.figure(other, 2)} mm deep"


def _recounts(found: Identification) -> Iterator[str]:
    for recount in found.recounts:
        yield (
            f"Counted as {recount.threads:g} threads it would be {recount.candidate.thread.name}: "
            "from crest to crest, the first counts as none."
        )


def _own(found: Identification) -> Iterator[str]:
    """What to do where it is none of them."""
    count, diameter = found.measured.count, found.measured.diameter
    if found.candidates[0].within or count.turned or diameter is None:
        return
    pitch = numbers.figure(count.length / count.threads, 3)
    yield (
        "If it is none of these it can be cut all the same, by its pitch and diameter: "
        f'"{pitch} mm" --diameter "{numbers.figure(diameter, 2)} mm".'
    )


def _unseen(measured: Measured) -> Iterator[str]:
    """What neither rule nor caliper sees."""
    hand = "" if measured.left else "If it climbs to the left it is left-hand (--left). "
    if measured.count.turned:
        if hand:
            yield hand.strip()
    elif measured.count.starts in (0, 1):
        yield (
            f"{hand}If more than one groove begins at its end, the lead is so many pitches "
            "(--starts says how many)."
        )
    elif hand:
        yield hand.strip()
