"""The blank as a drawing: face and side view by ISO 2203, with the sizes one turns it to."""

from __future__ import annotations

from markupsafe import Markup

from gearchest.optimizer.making.blank import Blank
from gearchest.reports.drawing.svg import element, joined, short

WIDTH, HEIGHT = 430.0, 300.0
REACH = 120.0
"""Drawn radius of the tip circle, in the drawing's units."""

FACE_X, MIDDLE_Y, SIDE_X = 140.0, 142.0, 335.0


def blank_drawing(blank: Blank) -> Markup:
    """Tip circle full, pitch circle chain-dotted, bore and keyway; width and diameters named."""
    scale = REACH / (blank.tip_diameter / 2)
    return element(
        "svg",
        joined([_face(blank, scale), _side(blank, scale)]),
        class_="blank-drawing",
        viewBox=f"0 0 {short(WIDTH)} {short(HEIGHT)}",
        role="img",
        aria_label=f"The blank: {blank.tip_diameter:.2f} mm across, "
        f"{blank.face_width:g} mm wide, bore {blank.bore:g} mm",
    )


def _face(blank: Blank, scale: float) -> Markup:
    pitch, root = blank.pitch_diameter / 2 * scale, blank.root_diameter / 2 * scale
    beyond = REACH + 12
    parts = [
        element("circle", class_="tip", cx=FACE_X, cy=MIDDLE_Y, r=REACH),
        element("circle", class_="pitch", cx=FACE_X, cy=MIDDLE_Y, r=pitch),
        element("circle", class_="root", cx=FACE_X, cy=MIDDLE_Y, r=root),
        *_bore(blank, scale),
        _line("centre-line", FACE_X - beyond, MIDDLE_Y, FACE_X + beyond, MIDDLE_Y),
        _line("centre-line", FACE_X, MIDDLE_Y - beyond, FACE_X, MIDDLE_Y + beyond),
    ]
    return joined(parts)


def _bore(blank: Blank, scale: float) -> list[Markup]:
    if not blank.bore:
        return []
    radius = blank.bore / 2 * scale
    bore = element("circle", class_="hole", cx=FACE_X, cy=MIDDLE_Y, r=radius)
    if blank.keyway is None:
        return [bore]
    half, top = blank.keyway.width / 2 * scale, radius + blank.keyway.depth * scale
    foot = (radius**2 - half**2) ** 0.5 if half < radius else 0.0
    outline = (
        f"M{short(FACE_X - half)},{short(MIDDLE_Y - foot)}V{short(MIDDLE_Y - top)}"
        f"H{short(FACE_X + half)}V{short(MIDDLE_Y - foot)}"
        f"A{short(radius)},{short(radius)} 0 1 1 {short(FACE_X - half)},{short(MIDDLE_Y - foot)}Z"
    )
    return [element("path", class_="hole", d=outline)]


def _side(blank: Blank, scale: float) -> Markup:
    """The disc from the side, its diameters and width dimensioned."""
    half = max(blank.face_width / 2 * scale, 6.0)
    left, right = SIDE_X - half, SIDE_X + half
    pitch, bore = blank.pitch_diameter / 2 * scale, blank.bore / 2 * scale
    top, bottom = MIDDLE_Y - REACH, MIDDLE_Y + REACH
    rect = element("rect", class_="tip", x=left, y=top, width=right - left, height=bottom - top)
    lines = [
        _line("pitch", left - 5, MIDDLE_Y - pitch, right + 5, MIDDLE_Y - pitch),
        _line("pitch", left - 5, MIDDLE_Y + pitch, right + 5, MIDDLE_Y + pitch),
        _line("root", left, MIDDLE_Y - bore, right, MIDDLE_Y - bore),
        _line("root", left, MIDDLE_Y + bore, right, MIDDLE_Y + bore),
        _line("centre-line", left - 14, MIDDLE_Y, right + 14, MIDDLE_Y),
    ]
    sizes = [
        _upright(right + 32, top, bottom, right, f"Ø{blank.tip_diameter:.2f}"),
        _upright(left - 16, MIDDLE_Y - bore, MIDDLE_Y + bore, left, f"Ø{blank.bore:g}")
        if blank.bore
        else Markup(""),
        _flat(bottom + 16, left, right, bottom, f"{blank.face_width:g}"),
    ]
    return joined([rect, *lines, *sizes])


def _line(name: str, x1: float, y1: float, x2: float, y2: float) -> Markup:
    return element("line", class_=name, x1=x1, y1=y1, x2=x2, y2=y2)


def _upright(x: float, top: float, bottom: float, edge: float, text: str) -> Markup:
    """A dimension line beside the side view, lettered along it."""
    middle = (top + bottom) / 2
    beyond = x + 4 if x > edge else x - 4
    # Lettering stands left of the line, and of the extensions where they end on that side.
    text_x = min(x, beyond) - 4
    return joined(
        [
            _line("extension", edge, top, beyond, top),
            _line("extension", edge, bottom, beyond, bottom),
            _line("dimension", x, top, x, bottom),
            element(
                "text",
                text,
                x=text_x,
                y=middle,
                text_anchor="middle",
                transform=f"rotate(-90 {short(text_x)} {short(middle)})",
            ),
        ]
    )


def _flat(y: float, left: float, right: float, edge: float, text: str) -> Markup:
    return joined(
        [
            _line("extension", left, edge, left, y + 4),
            _line("extension", right, edge, right, y + 4),
            _line("dimension", left, y, right, y),
            element("text", text, x=right + 6, y=y + 5),
        ]
    )
