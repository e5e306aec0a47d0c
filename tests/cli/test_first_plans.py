"""From `begin` to a first plan as three shops go: at most one round of `check` lies between."""

from __future__ import annotations

from pathlib import Path

import pytest
from curing import cured
from price_lists import lists
from program import run

from gearchest.cli.begin_command import begin
from gearchest.cli.check_command import check
from gearchest.cli.faults import FaultsError

Edits = list[tuple[str, str]]

WOODTURNER: Edits = [
    ('name = "My lathe"', 'name = "Rig for wooden screws"'),
    ('pitch = "1.5 mm"\nhalf_nuts = true', "pitch = 6 mm\nhalf_nuts = no"),
    ('reversing = true\n# right_hand_meshes = "even"', "reversing = no\nright_hand_meshes = even"),
    ("module = 1.0\n", "module = 1,5\n"),
    ('owned = "2x20 30 35 40 45 50 55 57 60 65 2x80"', "owned = 2x20, 30, 40, 45, 50, 60, 80, 100"),
    ("# face_width = 8.0", "face_width = 12"),
    ("# [banjo]\n# axis_distance = 75.0 ", "[banjo]\naxis_distance = 16 cm"),
    ("# swing = [-75, 75] ", "swing = -90 to 90 "),
    ("# slots = [ { start = 20.0, end = 72.0 } ]  ", "slots = { start = 4 cm, end = 14 cm } "),
    ("# driver_hub = 15.0", "driver_hub = 25"),
    ("# stud_hub = 15.0", "stud_hub = 20"),
    ("# screw_hub = 15.0", "screw_hub = 25"),
]

CRANKED = """# What people order
[[want]]
name = bench vice screw
pitch = "9 mm"
use = wood
dia = 50 mm

[[want]]
name = "press screw"
pitch = "12 mm"
use = "wood"
diameter = 60 mm

[[want]]
name = "nut box, old"
pitch = 4 tpi
use = "wood"
diameter = 1 1/2 in
mating = yes
"""

PLATE = """plate = \"\"\"
A |  4 | 4 1/2 |  5 | 5 1/2 | 6  | 7
B |  8 | 9     | 10 | 11    | 12 | 14
C | 16 | 18    | 20 | 22    | 24 |
\"\"\""""

GEARBOX: Edits = [
    ('name = "My lathe"', 'name = "Bench by the window"'),
    ('# units = "in"  ', "units = in  "),
    ('pitch = "1.5 mm"\n', "pitch = 8\n"),
    ("# thread_dials = [ { teeth = 16, lines = 8 } ]", "thread_dials = { teeth: 32, lines: 8 }"),
    ('# [gearbox]\n# unit = "tpi" ', "[gearbox]\nunit = tpi "),
    ('# plate = """\n# A | 4 | 4 1/2 | 5  | 6\n# B | 8 | 9     | 10 | -\n# """', PLATE),
    ("module = 1.0\npressure_angle = 20", "dp = 16\npressure_angle = 14.5"),
    ('owned = "2x20 30 35 40 45 50 55 57 60 65 2x80"', "owned = 24, 32, 2x40, 44, 48, 52, 60, 80"),
    ('# usual_train = "40/(45)/80"', "usual_train = 40/(80)/40"),
]

SMALL: Edits = [
    ('name = "My lathe"', 'name = "Mini"'),
    ('# face_width = 8.0\n# bore = 12.0\n# keyway = "3x1.4"',
     "face_width = 8\nbore = 12\nkeyway = 3 x 1,4"),
    ("# [banjo]\n# axis_distance = 75.0", "[banjo]\naxis_distance = 7.5"),
    ("# swing = [-75, 75] ", "swing = ±75 "),
    ("# slots = [ { start = 20.0, end = 72.0 } ]", "slots = [ { start = 2, end = 7.2 } ]"),
    ("# driver_hub = 15.0", "driver_hub = 15"),
    ("# stud_hub = 15.0", "stud_hub = 15"),
    ("# screw_hub = 15.0", "screw_hub = 15"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("edits", "wants", "meant", "says"),
    [
        (WOODTURNER, CRANKED, "", "of 3 threads"),
        (GEARBOX, '[[want]]\nseries = iso-metric-coarse\nfrom = M5\nto = M10\n', "tpi", "threads"),
        (SMALL, '[[want]]\nseries = "ba"\nto = 6 BA\n', "", "threads"),
    ],
    ids=["woodturner", "gearbox", "price list"],
)  # fmt: skip
def test_from_begin_to_a_first_plan(
    tmp_path: Path, edits: Edits, wants: str, meant: str, says: str
) -> None:
    folder = tmp_path / "workshop"
    begin(folder)
    files = [folder / "lathe.toml", folder / "wants.toml"]
    text = files[0].read_text(encoding="utf-8")
    for old, new in edits:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    for path, written in zip(files, (text, wants), strict=True):
        path.write_text(written, encoding="utf-8")
    offers: list[Path] = []
    if edits is SMALL:
        suffix, data = lists()["german, windows"]
        offers.append(folder / f"list{suffix}")
        offers[0].write_bytes(data)
    with pytest.raises(FaultsError) as caught:
        check([*files, *offers])
    for path in files:
        mine = tuple(fault for fault in caught.value.faults if fault.source == str(path))
        path.write_text(cured(path.read_text(encoding="utf-8"), mine, meant), encoding="utf-8")
    check([*files, *offers])  # one round was enough
    named = [part for path in offers for part in ("--offers", path)]
    done = run(
        "plan", files[0], "--wants", files[1], *named, "--most", "1", "--no-charts",
        "--no-what-if", "--out", folder / "plan.html",
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert says in done.stdout.splitlines()[0]
    assert (folder / "plan.html").exists()
