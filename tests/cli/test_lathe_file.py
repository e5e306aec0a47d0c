"""Lathe files: everything they may hold, defaults, and every fault at once with its line."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from file_samples import EVERY_KEY, LEAST, write
from program import run

from gearchest.catalogs.lathes import example, lathe_names
from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.lathe import load_lathe
from gearchest.optimizer.domain.gear import Place
from gearchest.optimizer.domain.lathe import Nose, Policy


def faults_of(folder: Path, text: str) -> tuple[Fault, ...]:
    with pytest.raises(FaultsError) as caught:
        load_lathe(write(folder, "lathe.toml", text))
    return caught.value.faults


def test_a_file_with_every_key(tmp_path: Path) -> None:
    lathe = load_lathe(write(tmp_path, "lathe.toml", EVERY_KEY))
    assert lathe.leadscrew.rational == Fraction(254, 80)
    assert lathe.gearbox == (("A", Fraction(1)), ("B", Fraction(1, 2)), ("C", Fraction(2)))
    assert lathe.usual_train is not None
    assert [gear.teeth for gear in lathe.usual_train.gears] == [40, 45, 80]
    assert lathe.banjo is not None
    assert lathe.banjo.swing == (0.0, 140.0)
    assert lathe.right_hand_meshes is None  # the lever makes either hand
    assert lathe.fixed_first_driver is not None
    assert lathe.fixed_first_driver.teeth == 40
    assert {g.teeth: n for g, n in lathe.chest.loose}[40] == 2
    (pair,) = lathe.chest.pinned
    assert (pair.one.teeth, pair.other.teeth) == (127, 120)
    assert pair.one.unit == pair.other.unit == "127+120"
    assert pair.one.module == pair.other.module == Fraction(4, 5)
    assert pair.one.places == {Place.STUD}
    assert lathe.dividing[0].circles[-1] == 49
    assert (lathe.spindle_nose, lathe.run_down) == (Nose.SCREWED, 1.5)
    assert lathe.policy.cutting_speed == pytest.approx(35 * 0.3048)
    assert lathe.bed.top_slide_travel == 60


def test_the_least_file_takes_the_defaults(tmp_path: Path) -> None:
    lathe = load_lathe(write(tmp_path, "lathe.toml", LEAST))
    assert lathe.banjo is None
    assert (lathe.studs, lathe.first_driver_turns, lathe.half_nuts) == (1, (Fraction(1),), True)
    assert lathe.policy == Policy()
    assert (lathe.spindle_nose, lathe.run_down, lathe.policy.cutting_speed) == (None, 1.0, None)
    assert lathe.making.pressure_angle == 20


def test_an_arm_of_which_only_the_studs_are_known_is_unmeasured(tmp_path: Path) -> None:
    lathe = load_lathe(write(tmp_path, "lathe.toml", LEAST + "[banjo]\nstuds = 2\n"))
    assert lathe.banjo is None
    assert lathe.studs == 2


@pytest.mark.parametrize("measured", [False, True])
def test_studs_that_no_train_takes_are_refused(tmp_path: Path, measured: bool) -> None:
    """They would be passed over in silence."""
    arm = "axis_distance = 90\nslots = [{ start = 20, end = 80 }]\n" if measured else ""
    (fault,) = faults_of(tmp_path, f"{LEAST}[banjo]\nstuds = 3\n{arm}")
    assert (fault.where, fault.value, fault.allowed) == ("banjo.studs", "3", "1 to 2")
    assert fault.line == LEAST.count("\n") + 2
    assert "studs = 2" in fault.fix


def test_dp_is_a_module_exactly(tmp_path: Path) -> None:
    lathe = load_lathe(write(tmp_path, "lathe.toml", LEAST.replace("module = 1", "dp = 16")))
    assert lathe.making.module == Fraction(254, 160)


def test_a_lever_with_several_ratios_and_no_reverse(tmp_path: Path) -> None:
    text = LEAST + '[headstock]\nfirst_driver_turns = ["1", "1/2"]\nreversing = false\n'
    lathe = load_lathe(write(tmp_path, "lathe.toml", text + 'right_hand_meshes = "odd"\n'))
    assert lathe.first_driver_turns == (Fraction(1), Fraction(1, 2))
    assert lathe.meshes_allowed(3)
    assert not lathe.meshes_allowed(2)


def test_numbers_may_be_text_with_a_decimal_comma(tmp_path: Path) -> None:
    lathe = load_lathe(
        write(tmp_path, "lathe.toml", LEAST.replace("module = 1", 'module = "1,25"'))
    )
    assert lathe.making.module == Fraction(5, 4)


PINNED = "[[gears.special]]\nteeth = 127\npinned_to = {other}\n"


def test_a_pinned_gear_takes_its_partner_from_the_loose_ones(tmp_path: Path) -> None:
    lathe = load_lathe(write(tmp_path, "lathe.toml", LEAST + PINNED.format(other=40)))
    assert {g.teeth: n for g, n in lathe.chest.loose}[40] == 1
    assert lathe.chest.size == 5


def test_two_specials_pinned_to_each_other_are_one_pair(tmp_path: Path) -> None:
    text = LEAST + PINNED.format(other=120) + "[[gears.special]]\nteeth=120\npinned_to=127\n"
    lathe = load_lathe(write(tmp_path, "lathe.toml", text))
    assert len(lathe.chest.pinned) == 1
    assert lathe.chest.size == 6


def test_two_equal_pairs_have_names_of_their_own(tmp_path: Path) -> None:
    text = LEAST + 2 * PINNED.format(other=120)
    units = [pair.one.unit for pair in load_lathe(write(tmp_path, "l.toml", text)).chest.pinned]
    assert len(set(units)) == 2


def test_where_a_special_gear_can_go(tmp_path: Path) -> None:
    text = LEAST + '[[gears.special]]\nteeth = 66\ndp = 20\nonly_on = ["idler", "screw"]\n'
    lathe = load_lathe(write(tmp_path, "lathe.toml", text))
    (special,) = (gear for gear, _ in lathe.chest.loose if gear.teeth == 66)
    assert special.places == {Place.IDLER, Place.SCREW}
    assert special.module == Fraction(127, 100)


WRONG = """name = ""
[leadscrew]
pitch = "8"
half_nut = true
[headstock]
reversing = false
[banjo]
axis_distance = -3
swing = [140, 0]
slots = [ { start = 90, end = 20 } ]
[gears]
module = 1
dp = 20
owned = [20, 3.5, "x"]
[bet]
"""


def test_all_faults_of_a_file_come_at_once(tmp_path: Path) -> None:
    found = {(fault.line, fault.where) for fault in faults_of(tmp_path, WRONG)}
    assert found == {
        (1, "name"),
        (3, "leadscrew.pitch"),
        (4, "leadscrew.half_nut"),
        (6, "headstock.reversing"),
        (8, "banjo.axis_distance"),
        (9, "banjo.swing"),
        (10, "banjo.slots[1].end"),
        (13, "gears.dp"),
        (14, "gears.owned[2]"),
        (14, "gears.owned[3]"),
        (15, "bet"),
    }


def test_a_fault_shows_what_was_typed_what_is_allowed_and_the_fix(tmp_path: Path) -> None:
    by_line = {fault.line: fault for fault in faults_of(tmp_path, WRONG)}
    assert by_line[3].value == '"8"'
    assert "tpi" in by_line[3].allowed
    assert '"8 tpi"' in by_line[3].fix
    assert '"half_nuts"' in by_line[4].fix  # the nearest key
    assert '"bed"' in by_line[15].fix
    assert by_line[13].also == ((12, "gears.module = 1"),)  # the other place
    assert by_line[10].also[0][0] == 10


def test_a_key_given_twice_shows_both_places(tmp_path: Path) -> None:
    text = LEAST + "[bed]\ncarriage_travel = 1\ncarriage_travel = 2\n[bed]\n"
    twice, table = faults_of(tmp_path, text)
    assert (twice.line, twice.also[0][0], twice.value) == (10, 9, "2")
    assert (table.line, table.also[0][0]) == (11, 8)


@pytest.mark.parametrize(
    ("line", "fix"),
    [
        ("bore = 12,5", "12.5"),
        ("keyway = 3x1.4", 'keyway = "3x1.4"'),
        ('material = "steel', 'material = "steel"'),
        ("bore = ", "# bore ="),
        ("material steel", "key = value"),
    ],
)
def test_slips_of_syntax_name_their_line(tmp_path: Path, line: str, fix: str) -> None:
    fault = faults_of(tmp_path, LEAST + line + "\n[bed]\n")[0]
    assert fault.line == 8
    assert fix in fault.fix


@pytest.mark.parametrize("missing", ["name", "pitch", "module", "owned"])
def test_what_is_required_is_missed(tmp_path: Path, missing: str) -> None:
    kept = [line for line in LEAST.splitlines() if not line.startswith(missing)]
    assert any(missing in fault.problem for fault in faults_of(tmp_path, "\n".join(kept)))


@pytest.mark.parametrize(
    "value", ["inf", "nan", "true", "[]", "{}", "1e400", "1979-05-27", '"x"', "0"]
)
def test_a_module_is_a_number_of_a_sane_size(tmp_path: Path, value: str) -> None:
    (fault,) = faults_of(tmp_path, LEAST.replace("module = 1", f"module = {value}"))
    assert fault.where == "gears.module"


@pytest.mark.parametrize(
    ("table", "line", "said"),
    [
        ("headstock", 'spindle_nose = "loose"', '"screwed", "fixed"'),
        ("headstock", "run_down = -1", "at least 0"),
        ("policy", 'cutting_speed = "10"', '"10 m/min"'),
        ("policy", "cutting_speed = 10", '"35 ft/min"'),
        ("policy", 'cutting_speed = "0 m/min"', "above 0"),
    ],
)
def test_settings_of_speed_are_refused_with_what_is_allowed(
    tmp_path: Path, table: str, line: str, said: str
) -> None:
    (fault,) = faults_of(tmp_path, f"{LEAST}[{table}]\n{line}\n")
    assert fault.where == f"{table}.{line.partition(' ')[0]}"
    assert said in fault.allowed


def test_a_dial_without_half_nuts_is_a_contradiction(tmp_path: Path) -> None:
    screw = "half_nuts = false\nthread_dials = [{ teeth = 16, lines = 8 }]"
    text = LEAST.replace('pitch = "1.5 mm"', f'pitch = "1.5 mm"\n{screw}')
    (fault,) = faults_of(tmp_path, text)
    assert (fault.where, fault.line, fault.also[0][0]) == ("leadscrew.thread_dials", 6, 5)


def test_files_that_are_not_there_or_not_text(tmp_path: Path) -> None:
    for make in (lambda p: None, lambda p: p.mkdir(), lambda p: p.write_bytes(b"name = '\xff'")):
        path = tmp_path / f"lathe{len(list(tmp_path.iterdir()))}.toml"
        make(path)
        with pytest.raises(FaultsError) as caught:
            load_lathe(path)
        assert "lathe" in caught.value.faults[0].source


def test_a_byte_order_mark_and_windows_line_ends_are_read(tmp_path: Path) -> None:
    path = tmp_path / "lathe.toml"
    path.write_bytes(b"\xef\xbb\xbf" + LEAST.replace("\n", "\r\n").encode())
    assert load_lathe(path).name == "Small"


def test_bundled_files_load_by_name_and_name_no_missing_one() -> None:
    assert {"instrument-repair", "mini-7-metric", "mini-7-inch", "american-12"} <= set(
        lathe_names()
    )
    for name in lathe_names():
        assert load_lathe(Path(name)).banjo is not None
    assert load_lathe(example().lathe).chest.size == 13


def test_what_making_gears_costs_and_which_circles_share_a_plate(tmp_path: Path) -> None:
    head = '[[dividing]]\nname = "h"\nratio = 40\ncircles = [15, 16, 21]\nplates = [[15, 16], {}]\n'
    text = LEAST + '[workshop]\nhourly_rate = 12.5\nways = ["print", "mill"]\n'
    lathe = load_lathe(write(tmp_path, "lathe.toml", text + head.format("[21]")))
    assert lathe.workshop.hourly_rate == Fraction(25, 2)
    assert [way.value for way in lathe.workshop.ways] == ["print", "mill"]
    assert lathe.dividing[0].plates == ((15, 16), (21,))
    assert (lathe.dividing[0].bore, lathe.dividing[0].keyway) == (None, "")
    shafts = head.format("[21]") + 'bore = 15.875\nkeyway = "5x2.5"\n'
    lathe = load_lathe(write(tmp_path, "lathe.toml", LEAST + shafts))
    assert (lathe.dividing[0].bore, lathe.dividing[0].keyway) == (15.875, "5x2.5")
    (fault,) = faults_of(tmp_path, text + head.format("[22]"))
    assert fault.value == "22"


@pytest.mark.parametrize(
    ("owned", "judged"), [("", False), ("40, 60", False), ("40, 60, 20", True)]
)
def test_an_arm_is_judged_once_there_are_gears_for_a_train(
    owned: str, judged: bool, tmp_path: Path
) -> None:
    """A cover that no gear runs under is nobody's fault where there is none."""
    path = tmp_path / "lathe.toml"
    path.write_text(
        f'name = "x"\n[leadscrew]\npitch = "2 mm"\n[gears]\nmodule = 1\nowned = [{owned}]\n'
        "[banjo]\naxis_distance = 60\n"
        "slots = [{ start = 20, end = 100 }]\nlargest_tip_diameter = 5\n",
        encoding="utf-8",
    )
    done = run("check", path)
    assert done.returncode == (3 if judged else 0)
    assert ("no gear owned runs under this cover" in done.stderr) is judged
