"""Whole files for the tests of the loaders."""

from __future__ import annotations

from pathlib import Path

EVERY_KEY = """
name = "Bench lathe, instrument repair"

[leadscrew]
pitch = "8 tpi"             # required
half_nuts = true
thread_dials = [ { teeth = 16, lines = 8 } ]   # optional; every wheel there is

[headstock]
first_driver_turns = "1"
fixed_first_driver = 40
reversing = true
right_hand_meshes = "even"
lowest_rpm = 60
spindle_nose = "screwed"
run_down = 1.5

[gearbox]
ratios = { A = "1", B = "1/2", C = "2" }

[banjo]
axis_distance = 110.0
axis_angle = 90.0
swing = [0, 140]
studs = 1
gap = 0.5
driver_hub = 20.0
stud_hub = 16.0
screw_hub = 20.0
largest_tip_diameter = 132.0
slots = [ { start = 25.0, end = 95.0, angle = 0.0, offset = 0.0 } ]

[gears]
module = 1.0                # or dp = 20
pressure_angle = 20
face_width = 8.0
bore = 12.0
keyway = "3x1.4"
material = "steel"
owned = [20, 20, 30, 35, 40, 40, 45, 50, 55, 57, 60, 65, 80]
usual_train = "40/(45)/80"

[[gears.special]]
teeth = 127
count = 1
module = 0.8
only_on = ["idler"]
pinned_to = 120

[bed]
carriage_travel = 350.0
between_centres = 500.0
top_slide_travel = 60.0

[policy]
screw_torque = 1.5
cutting_torque = 2.0
hand_crank_above = 3.0
reaction_time = 0.5
cutting_speed = "35 ft/min"
lead_error_share = 0.5
plain_pitch_tolerance = "0.1 %"

[[dividing]]
name = "40:1 head"
ratio = 40
circles = [15, 16, 17, 18, 19, 20, 21, 23, 27, 29, 31, 33, 37, 39, 41, 43, 47, 49]
"""

LEAST = """
name = "Small"
[leadscrew]
pitch = "1.5 mm"
[gears]
module = 1
owned = [20, 30, 40, 40]
"""


def write(folder: Path, name: str, text: str) -> Path:
    """A file with this text."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path
