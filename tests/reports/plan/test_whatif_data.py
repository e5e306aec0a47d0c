"""The lathe-file lines the what-if page gives: read back, they are the chest they came from."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

from gearchest.cli.files.lathe import load_lathe
from gearchest.optimizer.plan.whatif import what_if
from gearchest.reports.plan.whatif_data import whatif_data

HEAD = """\
name = "Bench lathe"
[leadscrew]
pitch = "8 tpi"
[headstock]
first_driver_turns = "1"
fixed_first_driver = 40
reversing = true
[gears]
module = 1.0
pressure_angle = 20
face_width = 8.0
material = "steel"
"""
GEARS = """\
owned = [20, 20, 40, 60, 60]

[[gears.special]]
teeth = 127
count = 1
module = 0.8
face_width = 6.5
material = "brass"
only_on = ["idler"]

[[gears.special]]
teeth = 33
count = 2
dp = 24

[[gears.special]]
teeth = 30
pinned_to = 60
"""


def test_the_lines_read_back_give_the_same_chest(tmp_path: Path) -> None:
    """Copies, special gears, an inch pitch, a pinned pair and the fixed first driver."""
    lathe = load_lathe(written(tmp_path, HEAD + GEARS))
    data = whatif_data(lathe, what_if(lathe, [], []), [], 9.0)
    again = load_lathe(written(tmp_path, HEAD + lines(data)))
    assert Counter(dict(again.chest.loose)) == Counter(dict(lathe.chest.loose))
    assert [(p.one.teeth, p.other.teeth, p.count) for p in again.chest.pinned] == [(30, 60, 1)]


def lines(data: dict[str, object]) -> str:
    """Put together as the page's script does, every gear ticked that is owned."""
    kinds, kept = data["kinds"], data["kept"]
    owned = list(kept["owned"])  # type: ignore[index]
    tables = []
    for kind in kinds:  # type: ignore[attr-defined]
        if kind["special"]:
            head = f"[[gears.special]]\nteeth = {kind['teeth']}\ncount = {kind['own']}\n"
            tables.append(head + kind["special"])
        elif not kind["held"]:
            owned += [kind["teeth"]] * kind["own"]
    return "\n\n".join([f"owned = {sorted(owned)}", *tables, *kept["tables"]])  # type: ignore[index]


def written(folder: Path, text: str) -> Path:
    path = folder / "lathe.toml"
    path.write_text(text, encoding="utf-8")
    return path
