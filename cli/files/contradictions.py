"""Settings of a lathe file that each may stand alone but not together.

They are read from the raw values, so that they are found beside the faults of single keys.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Any

from gearchest.cli.faults import Fault
from gearchest.cli.files.document import Document, KeyPath
from gearchest.cli.files.gear_lists import counts
from gearchest.cli.files.lengths import length_of, unit_of
from gearchest.optimizer.domain.notation import NotationError


def contradictions(document: Document) -> list[Fault]:
    """Every contradiction, with both places."""
    return [
        *_module_or_dp(document),
        *_hand(document),
        *_dials(document),
        *_gearbox(document),
        *_banjo(document),
        *_swing(document),
        *_slots(document),
        *_pinned(document),
        *_plates(document),
    ]


def _module_or_dp(document: Document) -> Iterator[Fault]:
    gears = document.value("gears")
    if isinstance(gears, dict) and not {"module", "dp"} & gears.keys():
        yield document.fault(
            ("gears",), 'the key "module" (or "dp") is missing',
            fix="write module = 1.0, or dp = 20, as measured on the gears",
        )  # fmt: skip
    tables: list[KeyPath] = [("gears",)]
    tables += [("gears", "special", i) for i in range(_length(document, "gears", "special"))]
    for path in tables:
        dp = document.typed((*path, "dp"))
        yield from _not_both(
            document, path, "module", "dp",
            f"keep the one you measured; if there are gears of both, take dp = {dp} out here and "
            f"write [[gears.special]], dp = {dp}, teeth = \"...\" for those of the other",
        )  # fmt: skip


def _not_both(document: Document, path: KeyPath, one: str, other: str, fix: str) -> Iterator[Fault]:
    if document.value(*path, one) is not None and document.value(*path, other) is not None:
        yield document.fault(
            (*path, other), f'"{one}" and "{other}" cannot both be given', fix=fix,
            also=((*path, one),),
        )  # fmt: skip


def _hand(document: Document) -> Iterator[Fault]:
    head = ("headstock",)
    without = document.value(*head, "reversing") is False
    if without and document.value(*head, "right_hand_meshes") is None:
        yield document.fault(
            (*head, "reversing"),
            "without a reversing lever the number of meshes decides the hand of the thread",
            allowed='right_hand_meshes = "even" or "odd"',
            fix="set up a train that cuts a right-hand thread, count its meshes from the first "
            "driver to the screw, idlers included, and write right_hand_meshes",
        )


def _dials(document: Document) -> Iterator[Fault]:
    screw = ("leadscrew",)
    if document.value(*screw, "half_nuts") is False and _length(document, *screw, "thread_dials"):
        yield document.fault(
            (*screw, "thread_dials"), "a thread dial tells when to close half-nuts; here are none",
            fix="take thread_dials out, or write half_nuts = true",
            also=((*screw, "half_nuts"),),
        )  # fmt: skip


def _gearbox(document: Document) -> Iterator[Fault]:
    box = document.value("gearbox")
    if not isinstance(box, dict):
        return
    path = ("gearbox",)
    if not {"ratios", "plate"} & box.keys():
        yield document.fault(
            path, 'the key "plate" (or "ratios") is missing',
            fix='write what the plate says: plate = { A = ["4 tpi", "5 tpi"], B = [...] }, or '
            "leave [gearbox] out",
        )  # fmt: skip
    yield from _not_both(document, path, "ratios", "plate", "keep the one you are surer of")
    if "plate" in box and document.value("gears", "usual_train") is None:
        yield document.fault(
            (*path, "plate"), "a plate holds with the train that usually hangs on the lathe",
            allowed='usual_train = "40/(48)/40" in [gears]',
            fix="write usual_train into [gears]: the gears that the plate was made for, from the "
            "first driver to the gearbox",
        )  # fmt: skip


def _banjo(document: Document) -> Iterator[Fault]:
    banjo = document.value("banjo")
    if not isinstance(banjo, dict) or banjo.keys() <= {"studs"}:
        return
    for key, what in (("axis_distance", "110.0"), ("slots", "[ { start = 25, end = 95 } ]")):
        if key not in banjo:
            yield document.fault(
                ("banjo", key), f'the key "{key}" is missing: an arm is measured or it is not',
                fix=f"measure it and write {key} = {what}, or leave only studs in [banjo]",
            )  # fmt: skip


def _swing(document: Document) -> Iterator[Fault]:
    path = ("banjo", "swing")
    first, last = (_number(document, *path, end) for end in (0, 1))
    if first is None or last is None:
        return
    if first > last:
        fix = f"write [{last}, {first}], or take 360 from the first"
        yield document.fault(path, "the swing ends before it begins", fix=fix,
                             allowed="[from, to] in degrees, counter-clockwise")  # fmt: skip
    elif last - first > 360:
        yield document.fault(path, "the swing is more than a whole turn", fix="[-180, 180] is all")


def _slots(document: Document) -> Iterator[Fault]:
    for i in range(_length(document, "banjo", "slots")):
        path = ("banjo", "slots", i)
        start, end = (_length_of(document, *path, key) for key in ("start", "end"))
        if start is not None and end is not None and start > end:
            first, last = (document.typed((*path, key)) for key in ("start", "end"))
            yield document.fault(
                (*path, "end"), "the slot ends before it starts",
                fix=f"write start = {last}, end = {first}", also=((*path, "start"),),
            )  # fmt: skip


def _pinned(document: Document) -> Iterator[Fault]:
    for i in range(_length(document, "gears", "special")):
        path = ("gears", "special", i)
        pinned, teeth = (document.value(*path, key) for key in ("pinned_to", "teeth"))
        if pinned is not None and _several(teeth):
            yield document.fault(
                (*path, "teeth"), "one gear is pinned to another, not several",
                fix="write a [[gears.special]] for each", also=((*path, "pinned_to"),),
            )  # fmt: skip
        for j in range(i):
            other = ("gears", "special", j)
            counts = [document.value(*p, "count") or 1 for p in (path, other)]
            if _halves(document, path, other) and counts[0] != counts[1]:
                yield document.fault(
                    (*path, "count"), "the two gears of a pinned pair are equally many",
                    fix="give both the same count", also=((*other, "count"),),
                )  # fmt: skip


def _plates(document: Document) -> Iterator[Fault]:
    for i in range(_length(document, "dividing")):
        path = ("dividing", i)
        circles, plates = document.value(*path, "circles"), document.value(*path, "plates")
        if not isinstance(circles, list) or not isinstance(plates, list):
            continue
        for j, plate in enumerate(plates):
            for k, holes in enumerate(plate if isinstance(plate, list) else []):
                if holes not in circles:
                    yield document.fault(
                        (*path, "plates", j, k), "this circle is not among the head's circles",
                        fix="add it to circles, or take it off the plate",
                        also=((*path, "circles"),),
                    )  # fmt: skip


def _several(teeth: Any) -> bool:
    """Whether tooth counts, as written, are not one."""
    try:
        entries = teeth if isinstance(teeth, list) else [teeth]
        return len([count for entry in entries for count in counts(entry)]) != 1
    except NotationError:
        return False  # told by the field itself


def _halves(document: Document, one: KeyPath, other: KeyPath) -> bool:
    """Whether two special gears say of each other that they are pinned."""
    teeth, partner = document.value(*one, "teeth"), document.value(*one, "pinned_to")
    return (
        partner is not None
        and document.value(*other, "teeth") == partner
        and document.value(*other, "pinned_to") == teeth
    )


def _length(document: Document, *path: str | int) -> int:
    value = document.value(*path)
    return len(value) if isinstance(value, list) else 0


def _length_of(document: Document, *path: str | int) -> Fraction | None:
    """A length in mm; None where there is none, or none that can be read."""
    value = document.value(*path)
    try:
        return None if value is None else length_of(value, unit_of(document))
    except NotationError:
        return None


def _number(document: Document, *path: str | int) -> Fraction | None:
    value: Any = document.value(*path)
    if isinstance(value, bool) or not isinstance(value, (int, Decimal)):
        return None
    finite = isinstance(value, int) or (value.is_finite() and -30 < value.adjusted() < 30)
    return Fraction(value) if finite else None
