"""A train on the arm without a letter, for a page of very many that tells all of it in words."""

from __future__ import annotations

from markupsafe import Markup

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.search.result import Answer
from gearchest.reports.drawing.lettering import Frame
from gearchest.reports.drawing.standing import Standing
from gearchest.reports.drawing.svg import element, joined, run, short
from gearchest.reports.drawing.symbols import gear_id


def bare_svg(lathe: Lathe, answer: Answer, letter: float) -> Markup:
    """Gears, arm, slots and shafts, facing the gears, in mm; `definitions` of this `letter` must
    stand on the same page. Hidden from those who have pages read to them.
    A gear in the first plane bears no class: the style of the page says how it is filled."""
    at = Standing.of(lathe, answer)
    places = Frame(*at.extent, letter).places

    def use(ident: str, point: tuple[float, float] = (0.0, 0.0), kind: str | None = None) -> Markup:
        x, y = (short(value, places) for value in point)
        x_, y_ = (None if value == "0" else value for value in (x, y))
        return element("use", href=f"#{ident}", x=x_, y=y_, class_=kind)

    def gears(shaft: int) -> Markup:
        here = [
            (gear_id(gear.teeth, gear.module), f"p{seat.plane}" if seat.plane else None)
            for seat, gear in at.seats
            if seat.shaft == shaft
        ]
        point = at.shafts[shaft]
        if len(here) < 2:
            return joined([use(ident, point, kind) for ident, kind in here])
        by = ",".join(short(value, places) for value in point)
        group = joined([use(ident, kind=kind) for ident, kind in here])
        return element("g", group, transform=f"translate({by})")

    arm = Markup("")
    if at.arm_angle is not None:
        by = f"rotate({short(-(at.arm_angle + at.turn))})"
        arm = element("g", use("arm") + use("slots"), transform=by)
    ends = at.shafts if at.placement is None else at.shafts[1:-1]
    parts = [
        arm,
        *(gears(shaft) for shaft in range(len(at.shafts))),
        *([use("frame")] if at.placement else []),
        *(use("stud" if at.placement else "cross", shaft) for shaft in ends),
    ]
    (left, top), (right, bottom) = at.extent
    view = run(left - 1, top - 1, right - left + 2, bottom - top + 2, places=0)
    return element("svg", joined(parts), class_="train", aria_hidden="true", viewBox=view)
