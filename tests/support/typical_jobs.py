"""Threads people cut, each on a lathe that suits it: as typed on the command line."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

STEEP = """
name = "Old lathe, 2 mm screw"
[leadscrew]
pitch = "2 mm"
[headstock]
lowest_rpm = 45
[gears]
module = 1.0
face_width = 8.0
owned = [20, 22, 25, 30, 35, 40, 45, 50, 60, 63, 80, 88]
[bed]
carriage_travel = 350.0
between_centres = 500.0
"""

BOXED = """
name = "Gearbox lathe, 8 tpi"
[leadscrew]
pitch = "8 tpi"
thread_dials = [{ teeth = 32, lines = 8 }]
[headstock]
lowest_rpm = 45
spindle_nose = "fixed"
[gearbox]
ratios = { A1 = "1", A2 = "8/9", A3 = "8/10", A4 = "8/11", A5 = "8/12", A6 = "8/13" }
[gears]
dp = 16
pressure_angle = 14.5
face_width = 10
material = "cast iron"
owned = [24, 36, 40, 48, 48, 60]
[bed]
carriage_travel = 600.0
between_centres = 750.0
"""

KNOWN_SCREW = STEEP.replace('pitch = "2 mm"', 'pitch = "2 mm"\nlead_error = "0.03 mm/300 mm"')

LATHES = {"steep": STEEP, "boxed": BOXED, "known-screw": KNOWN_SCREW}
"""Lathe files beside the bundled ones, by the name jobs give."""


def lathe_path(name: str, folder: Path) -> Path:
    """A bundled lathe by its name, or one of `LATHES` written into `folder`."""
    if name not in LATHES:
        return Path(name)
    path = folder / f"{name}.toml"
    path.write_text(LATHES[name], encoding="utf-8")
    return path


@dataclass(frozen=True)
class TypicalJob:
    """A lathe, a pitch, and options of `gearchest setup` by their names in Python."""

    lathe: str
    pitch: str
    options: tuple[tuple[str, str | bool], ...] = ()


def _job(lathe: str, pitch: str, **options: str | bool) -> TypicalJob:
    return TypicalJob(lathe, pitch, tuple(options.items()))


TYPICAL = {
    "steel M10 outside": _job("mini-7-metric", "M10", length="30 mm"),
    "steel M10 inside": _job("mini-7-metric", "M10", inside=True, length="15 mm"),
    "wooden screw by crank": _job("steep", "8 mm", use="wood", diameter="40 mm", length="220 mm"),
    "its nut": _job("steep", "8 mm", use="wood", diameter="40 mm", length="40 mm", inside=True),
    "Acme feed screw": _job(
        "american-12", "3/4-6 Acme", use="travel", length="300 mm", material="medium carbon steel"
    ),
    "1/2 NPT": _job("american-12", "1/2 NPT"),
    "2 BA brass": _job("mini-7-inch", "2 BA", length="12 mm", material="brass"),
    "worm": _job("mini-7-metric", "1 module", diameter="22 mm", length="40 mm"),
    "two-start left-hand": _job("american-12", "Tr40x14 P7", left=True, length="120 mm"),
    "fine optical thread inside": _job(
        "mini-7-inch", "M42x0.75", inside=True, length="8 mm", material="aluminium"
    ),
    "long screw beyond the travel": _job("mini-7-metric", "M20", length="300 mm"),
    "plastic-geared lathe": _job("mini-7-inch", "1/4-20 UNC", length="25 mm"),
    "gearbox lathe": _job("boxed", "1/2-13 UNC", length="40 mm"),
    "wooden clamp screw by hand": _job(
        "instrument-repair", "9 mm", use="wood", diameter="50 mm", length="420 mm"
    ),
    "small wooden nut": _job(
        "instrument-repair", "6 tpi", use="wood", diameter="3/4 in", inside=True
    ),
    "multi-start by the slide": _job(
        "mini-7-metric", "3 starts of 1 mm", diameter="20 mm", length="30 mm"
    ),
}  # fmt: skip
"""Twelve typical jobs and some that are worked in other ways."""
