"""The program as a process: exit codes, streams, no traceback, nothing heavy loaded early."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from file_samples import EVERY_KEY, LEAST, write
from program import run

from gearchest.catalogs.lathes import example


def test_importing_the_command_line_loads_nothing_heavy() -> None:
    heavy = "ortools pandas numpy ezdxf trimesh shapely jinja2"
    code = (
        f"import sys, gearchest.cli.main\nprint([m for m in {heavy.split()!r} if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_commands_that_make_no_table_and_no_plan_load_nothing_for_them() -> None:
    code = """
import sys
from gearchest.cli.commands import app
for command in ("reach", "setup"):
    try:
        app([command, "mini-7-metric", "M6"], standalone_mode=False)
    except SystemExit:
        pass
rare = ("ortools", "pandas", "jinja2", "numpy.ma", "rich")
print([name for name in rare if name in sys.modules])
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_a_plan_of_few_gears_loads_neither_solver_nor_pandas(tmp_path: Path) -> None:
    """All its sets are looked at, and its files are separated text: loading them would take longer
    than the plan."""
    code = f"""
import sys
from gearchest.cli.commands import app
try:
    app(["plan", "--most", "1", "--out", {str(tmp_path / "plan.html")!r}], standalone_mode=False)
except SystemExit:
    pass
print([name for name in ("ortools", "pandas", "plotly") if name in sys.modules])
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


@pytest.mark.parametrize(
    "arguments",
    [("nope",), ("reach",), ("plan", "--most", "x"), ("compare", "one"), ("check", "--colour")],
)
def test_wrong_usage_is_2(arguments: tuple[str, ...]) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr


def test_a_wrong_file_is_3_with_all_its_faults_on_standard_error(tmp_path: Path) -> None:
    path = write(tmp_path, "lathe.toml", LEAST.replace("1.5 mm", "1.5").replace("name", "nam"))
    done = run("reach", path, "M6", "--json", "-")
    assert (done.returncode, done.stdout) == (3, "")
    assert "line 4" in done.stderr
    assert 'did you mean "name"' in done.stderr
    assert "Traceback" not in done.stderr


def test_check_tells_what_is_not_measured_and_reads_every_kind(tmp_path: Path) -> None:
    files = example()
    least = write(tmp_path, "lathe.toml", LEAST)
    done = run("check", least, files.wants, files.offers)
    assert done.returncode == 0, done.stderr
    for key in ("axis_distance", "slots", "swing", "driver_hub", "largest_tip_diameter"):
        assert key in done.stdout
    assert "50 wants" in done.stdout
    assert "40 offers" in done.stdout


def test_check_says_which_gears_on_offer_cannot_be_had(tmp_path: Path) -> None:
    offers = write(tmp_path, "offers.csv", "teeth,price\n17,5\n63,5\n")
    done = run("check", "mini-7-inch", offers)
    assert done.returncode == 0, done.stderr
    assert "2 offers" in done.stdout
    assert "Not considered, as the keyway" in " ".join(done.stdout.split())


def test_check_says_when_hubs_are_unmeasured(tmp_path: Path) -> None:
    kept = [line for line in EVERY_KEY.splitlines() if "stud_hub" not in line]
    done = run("check", write(tmp_path, "lathe.toml", "\n".join(kept)))
    assert done.returncode == 0, done.stderr
    assert "stud_hub unmeasured" in done.stdout


@pytest.mark.parametrize(
    ("old", "new", "problem"),
    [
        ("start = 25.0, end = 95.0", "start = 200.0, end = 300.0", "stud into this slot"),
        ("swing = [0, 140]", "swing = [170, 180]", "swing excludes every train"),
    ],
)
def test_check_finds_what_no_train_could_use(
    tmp_path: Path, old: str, new: str, problem: str
) -> None:
    path = write(tmp_path, "lathe.toml", EVERY_KEY.replace(old, new))
    done = run("check", path)
    assert done.returncode == 3
    assert problem in done.stderr


def test_check_reports_the_faults_of_several_files_together(tmp_path: Path) -> None:
    one = write(tmp_path, "one.toml", LEAST.replace("1.5 mm", "1.5"))
    two = write(tmp_path, "two.csv", "teeth,price\n63,2-Jan\n")
    done = run("check", one, two, tmp_path / "three.toml")
    assert done.returncode == 3
    assert all(name in done.stderr for name in ("one.toml", "two.csv", "three.toml"))
    assert done.stderr.rstrip().endswith("3 faults found.")


def test_begin_writes_files_that_load_and_never_overwrites(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "shop"
    assert run("begin", folder).returncode == 0
    checked = run("check", folder / "lathe.toml", folder / "wants.toml")
    assert checked.returncode == 0, checked.stderr
    (folder / "lathe.toml").write_text("mine", encoding="utf-8")
    again = run("begin", folder)
    assert again.returncode == 0
    assert (folder / "lathe.toml").read_text(encoding="utf-8") == "mine"
    assert again.stdout.count("it exists") == 3


def test_the_arm_that_begin_leaves_to_be_uncommented_loads(tmp_path: Path) -> None:
    run("begin", tmp_path)
    lines = (tmp_path / "lathe.toml").read_text(encoding="utf-8").splitlines()
    start = lines.index("# [banjo]")
    end = lines.index("[bed]")
    bare = [line.removeprefix("# ").removeprefix("#") for line in lines[start:end]]
    path = write(tmp_path, "measured.toml", "\n".join(lines[:start] + bare + lines[end:]))
    done = run("check", path)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "not measured" not in done.stdout


def test_begin_where_a_file_is_in_the_way(tmp_path: Path) -> None:
    done = run("begin", write(tmp_path, "file", ""))
    assert done.returncode == 3
    assert "Traceback" not in done.stderr
