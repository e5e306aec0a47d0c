"""A gear drawn at true size, with lines to check the printer by."""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.making.blank import Blank
from gearchest.optimizer.making.involute import Points

INCHES = 4
CHECK_MM = 100.0
CHECK_IN = INCHES * 25.4
MARGIN = 6.0
PAGE_WIDTH = 178.0
"""mm a template may be wide to print on A4 and on Letter with usual margins."""


@dataclass(frozen=True)
class Window:
    """The part of the drawing shown, mm, y upwards: the whole gear or one quarter."""

    left: float
    right: float
    bottom: float
    top: float

    @property
    def width(self) -> float:
        """mm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """mm, with the room the check lines take below."""
        return self.top - self.bottom + 24


def whole_window(blank: Blank) -> Window:
    """All of the gear, and room for the check lines."""
    reach = blank.tip_diameter / 2 + MARGIN
    side = max(reach, CHECK_IN / 2 + MARGIN)
    return Window(-side, side, -reach, reach)


def page_window(blank: Blank) -> Window:
    """What fits on one printed page: the gear, or its upper right quarter when it is too big."""
    window = whole_window(blank)
    if window.width <= PAGE_WIDTH:
        return window
    reach = min(blank.tip_diameter / 2 + MARGIN, PAGE_WIDTH - 12)
    return Window(-12.0, reach, -12.0, reach)


def true_size_svg(
    blank: Blank,
    outline: Points,
    bore: Points | None,
    window: Window | None = None,
    *,
    embedded: bool = False,
) -> str:
    """An SVG whose user unit is a millimetre, with a 100 mm and a 4 in line to check it by.

    `embedded`: for inlining into a page, without the XML head.
    """
    shown = window or whole_window(blank)
    size = f'width="{shown.width:.3f}mm" height="{shown.height:.3f}mm"'
    box = f'viewBox="{shown.left:.3f} {-shown.top:.3f} {shown.width:.3f} {shown.height:.3f}"'
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" class="true-size" {size} {box} role="img" '
        f'aria-label="Gear of {blank.teeth} teeth at true size">',
        '<g fill="none" stroke="currentColor" stroke-width="0.12" stroke-linejoin="round">',
        _path(outline, "outline"),
        _path(bore, "bore") if bore is not None else "",
        f'<circle class="pitch-line" r="{blank.pitch_diameter / 2:.4f}" stroke-width="0.09" '
        'stroke-dasharray="6 1 0.6 1"/>',
        _centre(blank),
        _check_lines(shown),
        "</g></svg>",
    ]
    head = "" if embedded else '<?xml version="1.0" encoding="UTF-8"?>\n'
    return head + "\n".join(part for part in parts if part) + "\n"


def _path(points: Points, name: str) -> str:
    steps = " ".join(f"{x:.4f},{-y:.4f}" for x, y in points)
    return f'<path class="{name}" d="M{steps}Z"/>'


def _centre(blank: Blank) -> str:
    reach = max(blank.bore / 2 + 3, 5.0)
    return (
        f'<path class="centre-mark" stroke-width="0.09" stroke-dasharray="3 0.7 0.5 0.7" '
        f'd="M{-reach:.2f},0H{reach:.2f}M0,{-reach:.2f}V{reach:.2f}"/>'
    )


def _check_lines(shown: Window) -> str:
    left = shown.left + MARGIN
    return _check(left, -shown.bottom + 6, CHECK_MM, "100 mm") + _check(
        left, -shown.bottom + 15, CHECK_IN, f"{INCHES} in"
    )


def _check(x: float, y: float, length: float, label: str) -> str:
    """A line of `length` mm with end ticks and its length written above it."""
    return (
        f'<path class="check" data-mm="{length:g}" d="M{x:.3f},{y:.3f}h{length:.3f}'
        f'M{x:.3f},{y - 2:.3f}v4M{x + length:.3f},{y - 2:.3f}v4"/>'
        f'<text x="{x + 2:.3f}" y="{y - 1.2:.3f}" font-size="3" font-family="sans-serif" '
        f'fill="currentColor" stroke="none">{label}: measure it before you trust this print'
        "</text>"
    )
