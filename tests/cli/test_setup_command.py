"""`gearchest setup`: what it writes, what it refuses, how it ends."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
import typer

from gearchest.cli.faults import FaultsError
from gearchest.cli.setup_command import setup

REPAIR = Path("instrument-repair")


def run(pitch: str, lathe: Path = REPAIR, **options: Any) -> int:
    try:
        setup(lathe=lathe, pitch=pitch, **options)
    except typer.Exit as end:
        return end.exit_code
    return 0


def test_short_form_goes_to_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("M10") == 0
    out, err = capsys.readouterr()
    assert out.startswith("M10, external thread, on Bench lathe, instrument repair")
    assert not err


def test_json_alone_on_standard_output(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("M10", json="-") == 0
    out, err = capsys.readouterr()
    assert json.loads(out)["kind"] == "setup"
    assert err.startswith("M10, external thread, on")


def test_sheet_and_json_are_written(tmp_path: Path) -> None:
    sheet, data = tmp_path / "m10.html", tmp_path / "m10.json"
    assert run("M10", length="30 mm", out=sheet, json=str(data)) == 0
    text = sheet.read_text(encoding="utf-8")
    assert "instrument-repair.toml" in text
    assert "--length" in text
    assert json.loads(data.read_text(encoding="utf-8"))["thread"]["major_mm"] == 10


def test_off_ends_with_4_and_says_so_on_the_sheet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = tmp_path / "off.html"
    assert run("25 mm", out=sheet) == 4
    assert ": off" in capsys.readouterr().out
    assert "No train of the gears at hand" in sheet.read_text(encoding="utf-8")


def test_no_train_ends_with_4_and_writes_no_sheet(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = tmp_path / "none.html"
    assert run("90 mm", out=sheet, json=str(tmp_path / "none.json")) == 4
    assert not sheet.exists()
    assert "was not written" in capsys.readouterr().err
    assert json.loads((tmp_path / "none.json").read_text())["train"] is None


def test_left_hand_and_use_are_passed_on(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("6 mm", use="wood", diameter="28 mm", left=True, json="-") == 0
    document = json.loads(capsys.readouterr().out)
    assert document["thread"]["left"] is True
    assert document["wood"]["stock_side_mm"] == 31
    assert any(line.startswith("Left hand") for line in document["cautions"])


def test_force_of_the_finished_screw(capsys: pytest.CaptureFixture[str]) -> None:
    options = {"use": "wood", "diameter": "50 mm", "force": "200", "radius": "150 mm"}
    assert run("9 mm", material="hickory", friction="0.2", json="-", **options) == 0
    force = json.loads(capsys.readouterr().out)["force"]
    assert force["torque_nm"] == pytest.approx(30)
    assert force["material"] == "hickory"
    assert force["friction"] == 0.2


@pytest.mark.parametrize(
    ("options", "where", "said"),
    [
        ({"length": "60"}, "--length", "60"),
        ({"run_out": "0 mm"}, "--run-out", "greater than zero"),
        ({"force": "200"}, "--radius", "goes with"),
        ({"radius": "20 mm"}, "--force", "goes with"),
        ({"force": "-1", "radius": "20 mm"}, "--force", "greater than zero"),
        ({"force": "lots", "radius": "20 mm"}, "--force", "lots"),
        ({"load": "0"}, "--load", "greater than zero"),
        ({"load": "5 tons"}, "--load", "45 lbf"),
        ({"load": "kN"}, "--load", ""),
        ({"load": "5", "force": "5", "radius": "20 mm"}, "--load", "the same twice"),
        ({"load": "5", "ends": "fixed-free"}, "--ends", "--free-length 300mm"),
        ({"load": "5", "free_length": "300 mm", "ends": "free"}, "--ends", "fixed-free"),
        ({"load": "5", "free_length": "300"}, "--free-length", "unit is missing"),
        ({"load": "5", "nut_material": "bronz"}, "--nut-material", '"bronze" may be meant'),
        ({"nut": "20 mm"}, "--nut", "goes with a load"),
        ({"friction": "0.2"}, "--friction", "goes with a load"),
        ({"free_length": "2 m"}, "--free-length", "2 m"),
        ({"form": "acm"}, "--form", '"acme" may be meant'),
        ({"material": "cheese"}, "--material", "hickory"),
        ({"crank_force": "0"}, "--crank-force", "greater than zero"),
        ({"drive": "scrw"}, "--drive", '"screw" may be meant'),
        ({"tip": "0.1"}, "--tip", "unit is missing"),
        ({"tip": "round 0.1 mm"}, "--tip", "flat 0.2 mm"),
        ({"tip": "0.5 mm"}, "--tip", "a radius of 0.217 mm"),
        ({"tip": "0.1 mm", "form": "square"}, "--tip", "not made by its tip"),
        ({"class_name": "6H"}, "--class", "the usual class is 6g"),
        ({"class_name": "2A"}, "--class", "no class of external"),
        ({"inside": True, "form": "worm"}, "--inside", "no internal thread"),
        ({"engaged": "0 mm"}, "--engaged", "greater than zero"),
        ({"tool": "stone"}, "--tool", "carbide"),
        ({"cutter": "40 mm"}, "--cutter", "disc 40 mm"),
        ({"cutter": "disc 40"}, "--cutter", "unit is missing"),
        ({"cutter": "disc 40 mm, 0 teeth"}, "--cutter", "teeth and turns"),
        ({"cutter": "bit 8 mm", "inside": True}, "--cutter", "use a disc"),
    ],
)
def test_bad_options_name_option_value_and_fix(
    options: dict[str, str], where: str, said: str
) -> None:
    with pytest.raises(FaultsError) as error:
        run("M6", **options)
    assert where in str(error.value)
    assert said in str(error.value)


def test_the_tool_and_the_file_set_the_cutting_speed(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Carbide three times as fast (common practice); a speed in the file counts for any tool."""

    def metres(lathe: Path = REPAIR, **options: Any) -> float:
        assert run("M30x1.5", lathe, tolerance="2 %", json="-", **options) == 0
        speed = json.loads(capsys.readouterr().out)["speed"]
        assert speed["highest_rpm"] <= speed["cutting_speed_rpm"]
        found: float = speed["cutting_speed_m_per_min"]
        return found

    assert metres() == 10
    assert metres(material="medium carbon steel") == 8
    assert metres(tool="carbide") == 30
    slow = tmp_path / "slow.toml"
    bundled = Path(__file__).parents[2] / "catalogs" / "lathe_files" / "instrument-repair.toml"
    text = bundled.read_text(encoding="utf-8")
    slow.write_text(text.replace("[policy]", '[policy]\ncutting_speed = "6 m/min"'))
    assert metres(slow, tool="carbide") == 6


def test_a_powered_cutter_as_named(capsys: pytest.CaptureFixture[str]) -> None:
    options = {"use": "wood", "diameter": "50 mm", "json": "-"}
    assert run("9 mm", cutter="disc 60 mm, 8 teeth, 3000 rpm", **options) == 0
    found = json.loads(capsys.readouterr().out)
    cutter = found["cutter"]
    assert found["working"] == "by hand"
    assert (cutter["kind"], cutter["diameter_mm"], cutter["teeth"], cutter["rpm"]) == (
        "disc", 60, 8, 3000,
    )  # fmt: skip
    assert cutter["tilt_deg"] == pytest.approx(found["thread"]["lead_angle_deg"])
    assert cutter["wider_mm"] < cutter["wider_untilted_mm"]
    assert found["speed"]["highest_rpm"] is None
    assert found["speed"]["governed_by"] is None
    assert found["speed"]["overrun_mm_at_lowest_rpm"] is None


def document(capsys: pytest.CaptureFixture[str], pitch: str, **options: Any) -> dict[str, Any]:
    assert run(pitch, json="-", **options) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


def test_limits_of_size_less_the_lead_error(capsys: pytest.CaptureFixture[str]) -> None:
    """M10, 6g: 8.862 to 8.994 (ISO 965-2); |error| x engaged length x 1.732 of it is gone."""
    found = document(capsys, "M10")
    limits = found["limits"]
    assert limits["class"] == "6g"
    assert limits["corrected"]
    assert limits["major_mm"] == [9.732, 9.968]
    least, most = limits["pitch_diameter_mm"]
    gone = abs(found["train"]["error"]) * limits["engaged_mm"] * 3**0.5
    assert least == 8.862
    assert most == pytest.approx(8.994 - gone)
    over, basic = limits["over_wires_mm"], found["thread"]["wires"]["over_best_mm"]
    assert [x - y for x, y in zip(over, (least, most), strict=True)] == pytest.approx(
        [basic - found["thread"]["pitch_diameter_mm"]] * 2
    )
    assert max(over) < 10.327


def test_an_engaged_length_counts_for_limits_and_allowance(
    capsys: pytest.CaptureFixture[str],
) -> None:
    usual = document(capsys, "M10")
    short = document(capsys, "M10", engaged="5 mm")
    assert short["limits"]["engaged_mm"] == 5
    gone = abs(short["train"]["error"]) * 5 * 3**0.5
    assert short["limits"]["lead_error_costs_mm"] == pytest.approx(gone)
    longer = usual["limits"]["engaged_mm"] / 5
    assert short["allowed_error"] == pytest.approx(usual["allowed_error"] * longer)


def test_an_internal_thread(capsys: pytest.CaptureFixture[str]) -> None:
    """M10, 6H: bore 8.376 to 8.676, pitch diameter from 9.026; 0.541 P deep (ISO 68-1)."""
    found = document(capsys, "M10", inside=True)
    assert found["inside"]
    assert found["limits"]["class"] == "6H"
    assert found["limits"]["minor_mm"] == [8.376, 8.676]
    least, most = found["limits"]["pitch_diameter_mm"]
    assert 9.026 < least < most == 9.206
    assert found["limits"]["over_wires_mm"] is None
    assert len(found["limits"]["gauge_screws_over_wires_mm"]) == 2
    assert found["thread"]["depth_mm"] == pytest.approx(0.541 * 1.5, abs=1e-3)
    assert found["passes"][-1] == pytest.approx(found["thread"]["depth_mm"])
    assert 8.376 < found["cut"]["blank_mm"] < 8.676
    assert found["boring"]["bar_mm"] < 8.376 - 0.812
    assert not document(capsys, "M10")["inside"]


def test_a_sharper_tip_goes_deeper(capsys: pytest.CaptureFixture[str]) -> None:
    usual = document(capsys, "M10")
    for typed, less in (
        ("0.1 mm", 0.2165 - 0.1),
        ("sharp", 0.2165),
        ("flat 0.1 mm", 0.2165 - 0.0866),
    ):
        found = document(capsys, "M10", tip=typed)
        assert found["cut"]["deeper_mm"] == pytest.approx(less, abs=1e-4)
        more = found["thread"]["depth_mm"] - usual["thread"]["depth_mm"]
        assert more == pytest.approx(less, abs=1e-4)
        assert found["passes"][-1] == pytest.approx(found["thread"]["depth_mm"])


def test_another_class(capsys: pytest.CaptureFixture[str]) -> None:
    limits = document(capsys, "M10", class_name="4g6g")["limits"]
    assert limits["class"] == "4g6g"
    assert limits["standard_pitch_diameter_mm"] == [8.909, 8.994]
    assert limits["major_mm"] == [9.732, 9.968]


def test_a_taper_thread_is_gauged_in_its_plane(capsys: pytest.CaptureFixture[str]) -> None:
    found = document(capsys, "1/2 NPT")
    assert found["limits"] is None
    assert found["no_limits"]
    assert found["taper"]["gauge_plane"]["pitch_diameter_mm"] == pytest.approx(19.772, abs=1e-3)
    assert found["taper"]["lead_tolerance"] == 0.003
    assert found["taper"]["lead_kept"]
    assert document(capsys, "1/2 NPT", inside=True)["taper"]["over_wires_mm"] is None


def test_a_load_on_the_finished_screw(capsys: pytest.CaptureFixture[str]) -> None:
    """Tr24x5, root 18.5 mm, 8 kN on 400 mm, held and guided: slenderness 0.8 x 400 / 4.625."""
    found = document(
        capsys, "Tr24x5", load="8000", nut="30 mm", nut_material="Bronze",
        free_length="400 mm", ends="fixed-pinned",
    )["force"]  # fmt: skip
    assert found["hand_force_n"] is None
    assert found["axial_n"] == 8000
    assert found["frictions"] == [0.1, 0.2]
    assert found["holds_surely"]
    assert not found["runs_back"]
    assert found["flank_mpa"] == pytest.approx(8000 / (math.pi / 4 * (24**2 - 19**2) * 6), rel=1e-6)
    assert found["nut"]["kept"]
    assert found["buckling"]["slenderness"] == pytest.approx(69.2, abs=0.1)
    assert found["buckling"]["formula"] == "Johnson"
    assert not found["buckling"]["ends_assumed"]
    alone = document(capsys, "Tr24x5", load="8000")["force"]
    assert alone["buckling"] is None
    assert alone["nut"] is None
    assert document(capsys, "Tr24x5")["force"] is None


@pytest.mark.parametrize(
    ("typed", "newtons"),
    [("500 lbf", 2224.11), ("2 kN", 2000), ("100kg", 980.665), ("1,5 kN", 1500)],
)
def test_a_load_in_its_own_unit(
    capsys: pytest.CaptureFixture[str], typed: str, newtons: float
) -> None:
    found = document(capsys, "Tr24x5", load=typed)["force"]
    assert found["axial_n"] == pytest.approx(newtons, rel=1e-5)


def test_a_worm_has_no_nut_to_press_on() -> None:
    with pytest.raises(FaultsError, match="its nut are not known"):
        run("1 module", diameter="22 mm", load="500")


def test_force_needs_a_diameter() -> None:
    with pytest.raises(FaultsError, match="give --diameter"):
        run("2 mm", force="200", radius="100 mm")


def test_unwritable_sheet_is_refused_before_the_work(tmp_path: Path) -> None:
    with pytest.raises(FaultsError, match="no folder"):
        run("M6", out=tmp_path / "nowhere" / "sheet.html")


def test_the_measurement_over_wires_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    """M10: best wire 0.866 mm (P / (2 cos 30)); over it d2 + 3 W - 0.86603 P = 10.325 mm, the
    usual shop formula, which leaves the lead angle out (Machinery's Handbook, 60 degrees)."""
    run("M10", json="-")
    out, err = capsys.readouterr()
    wires = json.loads(out)["thread"]["wires"]
    assert wires["best_mm"] == pytest.approx(0.8660, abs=1e-4)
    assert wires["over_best_mm"] == pytest.approx(9.026 + 3 * 0.8660 - 0.86603 * 1.5, abs=2e-3)
    assert wires["exact"]
    assert "Over three wires" in err


@pytest.mark.parametrize(
    ("pitch", "options", "least"),
    [
        ("3 mm", {"use": "wood", "diameter": "30 mm", "friction": "2000"}, 25),
        ("Tr20x4 10 starts", {"friction": "1.4"}, 1.365),
    ],
)
def test_a_screw_that_jams_is_a_fault(pitch: str, options: dict[str, str], least: float) -> None:
    """It jams from friction pi d cos(b)/l on, d the pitch diameter."""
    with pytest.raises(FaultsError, match="jams: no hand presses with it") as caught:
        run(pitch, force="200", radius="150 mm", **options)
    (fault,) = caught.value.faults
    assert fault.where == "--friction"
    assert float(fault.allowed.split()[2]) == pytest.approx(least, rel=0.1)
