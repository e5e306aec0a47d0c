"""The arm drawn to scale from its five measures as they stand, each under its name."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from markupsafe import Markup

from gearchest.cli.files.lengths import MM, UNITS, length_of
from gearchest.optimizer.domain.notation import NotationError
from gearchest.reports.drawing.svg import element, joined, run

_SIZE = 400.0
"""Units of the drawing along its longer side."""

_USUAL_MM = {"axis": 110.0, "start": 25.0, "end": 95.0}


@dataclass(frozen=True)
class ArmMeasures:
    """The measures as they can be read, mm and degrees; those not given in `guessed` are drawn
    thin, where they usually are."""

    axis: float
    start: float
    end: float
    offset: float
    swing: tuple[float, float]
    axis_angle: float
    hubs: tuple[float, float, float]
    cover: float | None
    typed: Mapping[str, str] = field(default_factory=dict)
    guessed: frozenset[str] = frozenset()


def arm_measures(value: Callable[..., Any], units: str | None) -> ArmMeasures:
    """What can be read of an arm; `value` gives a key of [banjo] as typed."""
    bare = UNITS.get((units or "mm").strip().casefold(), MM)
    guessed: set[str] = set()
    typed: dict[str, str] = {}

    def mm(name: str, *path: str | int) -> float | None:
        given = value(*path)
        if given in (None, ""):
            return None
        try:
            found = float(length_of(_number(given), bare))
        except (NotationError, OverflowError):
            return None
        if not abs(found) < 5000:
            return None
        text = str(given)
        typed[name] = text if not _is_number(text) else f"{text} {units or 'mm'}"
        return found

    def drawn(name: str, *path: str | int) -> float:
        found = mm(name, *path)
        if found is None or found <= 0:
            guessed.add(name)
            return _USUAL_MM[name]
        return found

    swing = _swing(value("swing"))
    if swing is None:
        guessed.add("swing")
    else:
        typed["swing"] = f"{swing[0]:g}° to {swing[1]:g}°"
    axis = drawn("axis", "axis_distance")
    hubs = [mm(name, name) or 0.0 for name in ("driver_hub", "stud_hub", "screw_hub")]
    angle = value("axis_angle")
    return ArmMeasures(
        axis=axis,
        start=drawn("start", "slots", 0, "start"),
        end=drawn("end", "slots", 0, "end"),
        offset=mm("offset", "slots", 0, "offset") or 0.0,
        swing=swing or (-75.0, 75.0),
        axis_angle=float(angle) if _is_number(str(angle)) else 90.0,
        hubs=(hubs[0], hubs[1], hubs[2]),
        cover=mm("cover", "largest_tip_diameter"),
        typed=typed,
        guessed=frozenset(guessed),
    )


def _number(given: Any) -> Any:
    text = str(given).strip()
    return Fraction(text) if _is_number(text) else text


def _is_number(text: str) -> bool:
    try:
        return math.isfinite(float(text))
    except ValueError:
        return False


def _swing(value: Any) -> tuple[float, float] | None:
    from gearchest.cli.page.literals import literal

    if isinstance(value, str):
        written = literal("ends", value)
        value = written[1:-1].split(", ") if written and written.startswith("[") else None
    if not isinstance(value, list) or len(value) != 2 or not all(_is_number(str(e)) for e in value):
        return None
    first, last = (max(-360.0, min(360.0, float(end))) for end in value)
    return first, last


def arm_figure(arm: ArmMeasures) -> Markup:
    """The drawing: O at its foot, S where the axis angle has it, the arm turned to one side."""
    draw = _Draw(arm)
    return draw.svg()


class _Draw:
    """Places in mm, y upward, O at the origin, become units of the drawing, y downward."""

    def __init__(self, arm: ArmMeasures) -> None:
        self.arm = arm
        self.turn = math.radians(arm.axis_angle)
        low, high = arm.swing
        lean = min(high, max(low, 38.0 if high > 12 else (low + high) / 2))
        self.along = self.turn + math.radians(lean)
        reach = max(arm.axis, arm.end + 12, 40.0)
        cover = (arm.cover or 0) / 2
        self.mm = _SIZE / (reach + max(cover, 0.3 * reach) + 0.45 * reach)
        self.parts: list[Markup] = []

    def at(self, radius: float, angle: float, aside: float = 0.0) -> tuple[float, float]:
        """A place by its distance from O along a direction, and to the left of that."""
        x = radius * math.cos(angle) - aside * math.sin(angle)
        y = radius * math.sin(angle) + aside * math.cos(angle)
        return x * self.mm, -y * self.mm

    def svg(self) -> Markup:
        arm = self.arm
        o, s = (0.0, 0.0), self.at(arm.axis, self.turn)
        start, end = (self.at(d, self.along, arm.offset) for d in (arm.start, arm.end))
        wide = max(9.0, 7 * self.mm)
        path = f"M{run(*o)}L{run(*self.at(arm.end + 8, self.along, arm.offset))}"
        self.parts += [
            element("path", d=path, class_="limb-edge", stroke_width=3.1 * wide),
            element("path", d=path, class_="limb", stroke_width=2.9 * wide),
            self._measure("start", "end", content=element(
                "path", d=f"M{run(*start)}L{run(*end)}", class_="gap", stroke_width=wide)),
            element("path", d=f"M{run(*o)}L{run(*s)}", class_="axis"),
        ]  # fmt: skip
        if arm.cover:
            for centre in (o, s):
                circle = element("circle", cx=centre[0], cy=centre[1],
                                 r=arm.cover / 2 * self.mm, class_="cover")  # fmt: skip
                self.parts.append(self._measure("cover", content=circle))
            label = (s[0] + 0.72 * arm.cover / 2 * self.mm, s[1] - arm.cover / 2 * self.mm * 0.72)
            self.parts.append(self._measure("cover", content=self._text("cover", label, 1)))
        shafts = (("driver_hub", s, "S"), ("stud_hub", end, ""), ("screw_hub", o, "O"))
        for (name, centre, letter), hub in zip(shafts, arm.hubs, strict=True):
            radius = max(hub / 2 * self.mm, 2.5)
            mark = element("circle", cx=centre[0], cy=centre[1], r=radius, class_="hub")
            self.parts.append(self._measure(name, content=mark))
            if letter:
                self.parts.append(
                    element("text", letter, x=centre[0], y=centre[1] + 4, class_="shaft")
                )
        self.parts += [self._axis(o, s), *self._slot(start, end), self._swing()]
        content = joined(self.parts)
        xs = [o[0], s[0], start[0], end[0]]
        ys = [o[1], s[1], start[1], end[1]]
        margin = max(90.0, (arm.cover or 0) / 2 * self.mm + 14)
        box = (min(xs) - margin, min(ys) - margin, max(xs) - min(xs) + 2 * margin + 50,
               max(ys) - min(ys) + 2 * margin)  # fmt: skip
        title = element("title", "The arm to scale, as its measures are typed")
        guessed = " guessed" if arm.guessed else ""
        return element("svg", title + content, class_=f"arm-figure{guessed}", viewBox=run(*box),
                       role="img")  # fmt: skip

    def _axis(self, o: tuple[float, float], s: tuple[float, float]) -> Markup:
        aside = -30 / self.mm
        one, other = self.at(0, self.turn, aside), self.at(self.arm.axis, self.turn, aside)
        return self._dimension("axis", (o, one), (s, other))

    def _slot(self, start: tuple[float, float], end: tuple[float, float]) -> list[Markup]:
        found = []
        for name, long, aside in (("start", self.arm.start, 34.0), ("end", self.arm.end, 56.0)):
            off = aside / self.mm
            foot = self.at(0, self.along, self.arm.offset + off)
            head = self.at(long, self.along, self.arm.offset + off)
            near = start if name == "start" else end
            found.append(self._dimension(name, ((0.0, 0.0), foot), (near, head)))
        return found

    def _dimension(
        self, name: str, *ends: tuple[tuple[float, float], tuple[float, float]]
    ) -> Markup:
        (from_one, one), (from_other, other) = ends
        lines = [element("path", d=f"M{run(*a)}L{run(*b)}", class_="thin")
                 for a, b in ((from_one, one), (from_other, other))]  # fmt: skip
        line = element("path", d=f"M{run(*one)}L{run(*other)}", class_="dimension")
        ticks = joined(
            [element("circle", cx=x, cy=y, r=2.2, class_="tick") for x, y in (one, other)]
        )
        far = 0.72 if name == "axis" else 0.6 if name == "end" else 0.35
        place = (one[0] + far * (other[0] - one[0]), one[1] + far * (other[1] - one[1]))
        side = 1 if name == "axis" else -1
        content = joined([*lines, line, ticks, self._text(name, place, side)])
        return self._measure(name, content=content)

    def _swing(self) -> Markup:
        radius = max(0.38 * self.arm.axis, 18 / self.mm)
        low, high = self.arm.swing
        ends = [self.at(radius, self.turn + math.radians(a)) for a in (low, high)]
        r = radius * self.mm
        large = int(high - low > 180)
        if high - low >= 360:
            arc = element("circle", cx=0.0, cy=0.0, r=r, class_="arc")
        else:
            d = f"M{run(*ends[0])}A{run(r, r)} 0 {large} 0 {run(*ends[1])}"
            arc = element("path", d=d, class_="arc")
        rays = joined([element("path", d=f"M0 0L{run(*end)}", class_="thin") for end in ends])
        place = self.at(radius, self.turn + math.radians(max(low, -100)))
        return self._measure("swing", content=rays + arc + self._text("swing", place, 1))

    def _text(self, name: str, place: tuple[float, float], side: int) -> Markup:
        """A measure as typed, to the right (1) or the left (-1) of its place."""
        said = self.arm.typed.get(name, "?")
        anchor = "start" if side > 0 else "end"
        return element("text", f"{_NUMBERS.get(name, '')} {said}".strip(), x=place[0] + 8 * side,
                       y=place[1] + 5, text_anchor=anchor)  # fmt: skip

    def _measure(self, *names: str, content: Markup) -> Markup:
        return element("g", content, class_=" ".join(f"m-{name}" for name in names))


_NUMBERS = {"axis": "①", "start": "②", "end": "②", "swing": "③", "cover": "⑤"}
