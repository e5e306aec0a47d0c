"""The lathe-file lines the what-if page gives: read back, they are the chest they came from."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from pathlib import Path
from typing import Any

import report_samples as samples

from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import want_from
from gearchest.optimizer.plan.whatif import extra_gears, what_if
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


def test_ways_come_in_the_order_in_which_they_are_set_up() -> None:
    """What `whatif_table.js` reads, read here by hand: gears a column at a time, and of each way,
    by its error, how many of those left come before it."""
    plan = samples.plan()
    lathe, wide = plan.lathe, want_from("1 mm", lathe=plan.lathe, tolerance="4 %")
    table = what_if(lathe, [*plan.wants, wide], extra_gears(plan))
    data: Any = whatif_data(lathe, table, [str(n) for n in range(len(table.wants))], 9.0)
    teeth = [kind["teeth"] for kind in data["kinds"]]
    longest = 0
    for want, ways in zip(data["wants"], table.ways, strict=True):
        letters = [ord(letter) - 93 for letter in data["ways"][want["ways"]]]
        found = []
        while letters:
            layout, _, exact = data["heads"][letters[0]]
            count, shafts = letters[1] * 64 + letters[2], len(data["layouts"][layout]["shafts"])
            columns = [letters[3 + n * count :][:count] for n in range(shafts)]
            del letters[: 3 + shafts * count]
            for places in zip(*columns, strict=True):
                gears = tuple(teeth[place] for place in places)
                ratio = Fraction(gears[0], gears[-1])
                ratio *= Fraction(gears[2], gears[1]) if len(gears) == 4 else 1
                found.append((0.0 if exact else abs(float(ratio) * want["turn"] - 1), gears))
        digits = [ord(letter) - 93 for letter in data["ranks"][want["ways"]]]
        size = len(found)
        high = dict(zip(range(max(0, size - 64)), digits[size - 1 :], strict=True)) if size else {}
        left, ranked = list(range(size)), {}
        for n, (_, gears) in enumerate(sorted(found, key=lambda one: one[0])):
            before = (digits[n] if n < size - 1 else 0) + 64 * high.get(n, 0)
            ranked[left.pop(before)] = gears
        told = [tuple(gear.teeth for gear in way.train.gears) for way in ways]
        assert [ranked[n] for n in range(size)] == told
        longest = max(longest, size)
    assert longest > 64


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
