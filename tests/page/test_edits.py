"""Changes to files: what is asked changes, and nothing else; comments stay, commands read on."""

from __future__ import annotations

import random
import re
import tomllib
from importlib.resources import files
from itertools import pairwise
from pathlib import Path

import pytest

from gearchest.catalogs.lathes import lathe_file
from gearchest.cli.faults import FaultsError
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import load_wants
from gearchest.cli.page.edits import with_value, without_entry
from gearchest.cli.page.literals import literal, shown
from gearchest.cli.page.seen import see

TEMPLATES = files("gearchest.cli") / "templates"
LATHE = (TEMPLATES / "lathe.toml").read_text(encoding="utf-8")
WANTS = (TEMPLATES / "wants.toml").read_text(encoding="utf-8")


def comments(text: str) -> list[str]:
    """Every remark; no text of these files holds the sign otherwise."""
    return sorted(found.strip() for found in re.findall(r"#.*", text))


NUMBERS = {
    ("gears", "module"): ("0.8", "1.25", "1"),
    ("gears", "face_width"): ("8", "7.5"),
    ("banjo", "axis_distance"): ("110", "4 5/16 in", "112.5"),
    ("banjo", "slots", 0, "start"): ("20", "25.5"),
    ("banjo", "slots", 0, "end"): ("90", "95"),
    ("banjo", "slots", 1, "start"): ("30",),
    ("banjo", "slots", 1, "end"): ("80",),
    ("banjo", "largest_tip_diameter"): ("120", "132"),
    ("bed", "carriage_travel"): ("250", "300"),
    ("policy", "reaction_time"): ("0.4", "0.6"),
    ("headstock", "lowest_rpm"): ("60", "80"),
    ("leadscrew", "thread_dials", 0, "teeth"): ("16", "24"),
    ("leadscrew", "thread_dials", 0, "lines"): ("8", "4"),
    ("dividing", 0, "ratio"): ("40", "60"),
}
OTHERS = {
    ("name",): ("text", ("My lathe", 'The "old" one', "Drehbank Ø 150")),
    ("leadscrew", "pitch"): ("text", ("8 tpi", "1.5 mm")),
    ("gears", "owned"): ("gears", ("20, 20, 30, 40", "2x20 30 40", "20 30 40 50 60")),
    ("banjo", "swing"): ("ends", ("-75 to 75", "-60 to 80")),
    ("headstock", "reversing"): ("yes", ("true",)),
    ("dividing", 0, "name"): ("text", ("head",)),
    ("dividing", 0, "circles"): ("numbers", ("15 16 17", "20, 21")),
    ("gears", "keyway"): ("text", ("3x1.4",)),
}


@pytest.mark.parametrize("seed", range(2))
def test_a_hundred_edits_keep_every_comment_and_read_as_asked(seed: int, tmp_path: Path) -> None:
    """What stands in the file afterwards is kept track of by plain dictionaries."""
    chance = random.Random(seed)
    kinds = {path: ("number", values) for path, values in NUMBERS.items()} | OTHERS
    text, known = LATHE, tomllib.loads(LATHE)
    done = 0
    while done < 100:
        path = chance.choice(list(kinds))
        kind, values = kinds[path]
        typed = chance.choice(["", *values])
        before = tomllib.loads(text)
        if path[:2] == ("banjo", "slots") and path[2] > len(
            before.get("banjo", {}).get("slots", [])
        ):
            continue
        if path in {("name",), ("leadscrew", "pitch"), ("gears", "owned"), ("gears", "module")}:
            typed = typed or values[0]
        written = literal(kind, typed)
        text = with_value(text, path, written, "lathe.toml")
        _set(known, path, None if written is None else tomllib.loads(f"x = {written}")["x"])
        assert tomllib.loads(text) == known
        done += 1
    assert comments(text) == comments(LATHE)
    lines = [line for line in LATHE.splitlines() if line.startswith("[")]
    assert [line for line in text.splitlines() if line in lines] == lines
    path = tmp_path / "lathe.toml"
    path.write_text(text, encoding="utf-8")
    seen = see({"lathe": text}).lathe_file
    try:
        load_lathe(path)
    except FaultsError as error:
        faults = {(fault.line, fault.problem) for fault in error.faults}
        assert faults <= {(fault.line, fault.problem) for fault in seen.faults}


def _set(values: dict, path: tuple, new: object) -> None:  # type: ignore[type-arg]
    """The rule told again: tables and entries are made, an entry without keys goes, and so does
    a list without entries."""
    holders = [values]
    for key, following in pairwise(path):
        here = holders[-1]
        if isinstance(key, int):
            if key == len(here):
                if new is None:
                    return
                here.append({})
        elif key not in here:
            if new is None:
                return
            here[key] = [] if isinstance(following, int) else {}
        holders.append(here[key])
    if new is not None:
        holders[-1][path[-1]] = new
        return
    if path[-1] not in holders[-1]:
        return
    del holders[-1][path[-1]]
    for depth in range(len(path) - 1, 0, -1):
        empty = not holders[depth]
        if not empty or not (isinstance(holders[depth], list) or isinstance(path[depth - 1], int)):
            return
        del holders[depth - 1][path[depth - 1]]


def test_a_hundred_edits_of_wants_keep_every_comment(tmp_path: Path) -> None:
    chance = random.Random(7)
    text = WANTS
    for number in range(100):
        count = len(tomllib.loads(text)["want"])
        at = chance.randrange(count)
        if number % 4 == 0:
            text = with_value(text, ("want", count, "pitch"), f'"{number + 1} tpi"', "wants.toml")
        elif number % 4 == 1 and count > 5:
            text = without_entry(text, ("want", at), "wants.toml")
        else:
            weight = chance.choice(("3", "10", None))
            text = with_value(text, ("want", at, "weight"), weight, "wants.toml")
    stay = [line for line in comments(WANTS) if WANTS.count(f"\n{line}")]  # on lines of their own
    assert set(stay) <= set(comments(text))
    path = tmp_path / "wants.toml"
    path.write_text(text, encoding="utf-8")
    wants = load_wants(path, load_lathe(Path("mini-7-metric")))
    assert len(wants) >= len(tomllib.loads(text)["want"])


@pytest.mark.parametrize("name", ["mini-7-metric", "american-12", "instrument-repair"])
def test_taking_a_value_back_gives_the_file_byte_for_byte(name: str) -> None:
    path = lathe_file(name)
    assert path is not None
    text = path.read_text(encoding="utf-8")
    changed = with_value(text, ("leadscrew", "pitch"), '"3 mm"', "x")
    written = tomllib.loads(text)["leadscrew"]["pitch"]
    assert changed != text
    assert with_value(changed, ("leadscrew", "pitch"), f'"{written}"', "x") == text


def test_a_remark_behind_a_value_stays_behind_it() -> None:
    text = "a = 1   # first\nb = [1, # one\n 2, # two\n]\n"
    text = with_value(text, ("a",), "2", "x")
    text = with_value(text, ("b",), "[1, 3]", "x")
    assert text.startswith("a = 2   # first\n")
    assert {"# one", "# two"} <= set(comments(text))


def test_lines_of_windows_stay_so() -> None:
    text = "a = 1\r\n\r\n[t]\r\nb = 2\r\n"
    assert with_value(text, ("t", "b"), "3", "x") == "a = 1\r\n\r\n[t]\r\nb = 3\r\n"


def test_a_file_that_is_no_toml_is_not_touched() -> None:
    with pytest.raises(FaultsError) as raised:
        with_value("a = = 1\n", ("b",), "2", "x")
    assert "no TOML" in raised.value.faults[0].problem


def test_what_would_break_the_file_is_refused() -> None:
    with pytest.raises(FaultsError):
        with_value("a = 1\n", ("a", "b"), "2", "x")


@pytest.mark.parametrize(
    ("kind", "typed", "written"),
    [
        ("number", "110", "110"), ("number", "110.0", "110.0"), ("number", "007", '"007"'),
        ("number", "4 5/16 in", '"4 5/16 in"'), ("number", "1,5", '"1,5"'),
        ("text", 'a "b" \\', '"a \\"b\\" \\\\"'), ("text", "", None), ("yes", "true", "true"),
        ("yes", "maybe", '"maybe"'), ("gears", "20 20 30", "[20, 20, 30]"),
        ("gears", "2x20 30", '"2x20 30"'), ("ends", "-75 to 75", "[-75, 75]"),
        ("ends", "−75° to 75°", "[-75, 75]"), ("ends", "75", '"75"'),
        ("texts", "1, 1/2", '["1", "1/2"]'),
        ("texts", "1", '"1"'), ("named", "A 1, B 1/2", '{ "A" = "1", "B" = "1/2" }'),
    ],
)  # fmt: skip
def test_typed_values_as_toml(kind: str, typed: str, written: str | None) -> None:
    assert literal(kind, typed) == written
    if written is not None:
        value = tomllib.loads(f"x = {written}")["x"]
        assert literal(kind, shown(kind, value)) == written
