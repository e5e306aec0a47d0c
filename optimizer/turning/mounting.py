"""How the train goes onto the lathe: what sits on which shaft, in which plane, which levers."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.search.result import Answer

PAPER = "0.1 mm"
"""Thickness of writing paper, which sets the backlash (common practice, no source)."""


@dataclass(frozen=True)
class Shaft:
    """One shaft with its gears, plane by plane; None: a spacer as wide as a gear. `slot` and
    `position` (mm along it) for a stud on a measured arm."""

    name: str
    planes: tuple[Gear | None, ...]
    slot: int | None = None
    position: float | None = None


@dataclass(frozen=True)
class Mounting:
    """Shafts in the order they are loaded, screw first; arm angle in degrees, None on an
    unmeasured arm. `hand` says what the levers must be set to."""

    shafts: tuple[Shaft, ...]
    arm_angle: float | None
    levers: tuple[str, ...]


def mounting(lathe: Lathe, answer: Answer, *, left: bool) -> Mounting:
    """How to hang the train of an answer."""
    train = answer.train
    placement = answer.fit.placement
    loaded: dict[int, dict[int, Gear]] = {}
    for seat, gear in train.seated:
        loaded.setdefault(seat.shaft, {})[seat.plane] = gear
    last = max(loaded)
    names = train.layout.shaft_names(gearbox=bool(lathe.gearbox))
    shafts = []
    for shaft in (last, *range(last - 1, 0, -1), 0):
        planes = tuple(loaded[shaft].get(plane) for plane in range(train.layout.stages))
        stud = placement.studs[shaft - 1] if placement and 0 < shaft < last else None
        shafts.append(
            Shaft(
                names[shaft],
                planes,
                stud.slot if stud else None,
                stud.position if stud else None,
            )
        )
    return Mounting(
        tuple(shafts), placement.arm_angle if placement else None, levers(lathe, train, left=left)
    )


def levers(lathe: Lathe, train: Train, *, left: bool) -> tuple[str, ...]:
    """Lever by lever, what to set."""
    setting = train.setting
    lines = [_hand(lathe, train, left=left)]
    if len(lathe.first_driver_turns) > 1:
        turns = _ratio(setting.first_driver_turns)
        lines.append(f"Speed lever of the first driver: {turns} to a spindle turn.")
    if setting.gearbox is not None:
        ratio = _ratio(setting.gearbox_ratio)
        lines.append(f"Gearbox: {setting.gearbox} ({ratio} of the screw to a turn of its input).")
    return tuple(lines)


def _hand(lathe: Lathe, train: Train, *, left: bool) -> str:
    hand, towards = ("left", "away from") if left else ("right", "towards")
    meshes = train.layout.meshes
    count = f"{meshes} mesh" if meshes == 1 else f"{meshes} meshes"
    if lathe.right_hand_meshes is None:
        return (
            f"Reversing lever: carriage {towards} the headstock with the spindle forward "
            f"({hand}-hand thread; {count})."
        )
    cut = "cuts" if meshes == 1 else "cut"
    return f"No reversing lever: {count} {cut} a {hand}-hand thread on this lathe."


def _ratio(value: Fraction) -> str:
    return f"{value} {'turn' if value == 1 else 'turns'}"
