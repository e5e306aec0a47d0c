"""`gearchest blanks` as a user runs it: files, JSON, exit codes, faults."""

import json
from pathlib import Path

import pytest
import typer

from gearchest.cli.blanks_command import BlanksOptions, blanks
from gearchest.cli.faults import FaultsError
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers

LATHE = Path("instrument-repair")  # bundled


def run(*teeth, out=None, to="-", lathe=LATHE, **options):
    blanks(lathe=lathe, teeth=list(teeth), out=out, json=to, options=BlanksOptions(**options))


def document(capsys):
    return json.loads(capsys.readouterr().out)


def test_json_alone_on_standard_output(capsys):
    run(63)
    captured = capsys.readouterr()
    (gear,) = json.loads(captured.out)["gears"]
    assert gear["teeth"] == 63
    assert gear["files"] == []
    assert "63 teeth" in captured.err


def test_a_folder_gets_the_sheet_and_the_cutting_files(tmp_path, capsys):
    folder = tmp_path / "new" / "gears"
    run(63, 24, out=folder)
    names = {path.name for path in folder.iterdir()}
    assert names == {
        "blanks.html",
        *(f"gear-{z}-m1.{kind}" for z in (24, 63) for kind in ("dxf", "svg", "stl")),
    }
    for gear in document(capsys)["gears"]:
        assert len(gear["files"]) == 3
        assert all(Path(name).is_file() for name in gear["files"])
    html = (folder / "blanks.html").read_text()
    assert 'href="gear-63-m1.dxf"' in html


def test_a_sheet_name_of_ones_own(tmp_path):
    run(24, out=tmp_path / "my.html", to=None)
    assert (tmp_path / "my.html").is_file()
    assert (tmp_path / "gear-24-m1.stl").is_file()


def test_a_gear_that_is_not_to_be_made_is_exit_4(capsys):
    with pytest.raises(typer.Exit) as stop:
        run(63, 16)
    assert stop.value.exit_code == 4
    good, refused = document(capsys)["gears"]
    assert good["refused"] is None
    assert "keyway" in refused["refused"]


def test_a_count_asked_for_twice_is_one_gear(capsys):
    run(63, 63)
    assert len(document(capsys)["gears"]) == 1


@pytest.mark.parametrize(
    ("teeth", "options", "said"),
    [
        ([3], {}, "6 to 500"),
        ([63], {"shift": 2.0}, "--shift"),
        ([63], {"backlash": -0.1}, "--backlash"),
        ([63], {"outline_offset": 3.0}, "--outline-offset"),
        ([63], {"outline_offset": float("nan")}, "--outline-offset"),
        ([63], {"hub": (200.0, 5.0)}, "--hub"),
    ],
)
def test_values_that_make_no_gear_are_named(teeth, options, said):
    with pytest.raises(FaultsError) as fault:
        run(*teeth, **options)
    assert said in str(fault.value)


def test_an_unreadable_keyway_is_a_fault_and_not_a_traceback(tmp_path):
    path = tmp_path / "lathe.toml"
    path.write_text(
        'name = "x"\n[leadscrew]\npitch = "8 tpi"\n[gears]\nmodule = 1\nowned = [20, 40]\n'
        'bore = 12\nkeyway = "three wide"\n'
    )
    with pytest.raises(FaultsError, match=r"3x1\.4"):
        run(63, lathe=path)


def test_without_a_head_in_the_file_the_common_one_is_taken(tmp_path, capsys):
    path = tmp_path / "lathe.toml"
    path.write_text('name = "x"\n[leadscrew]\npitch = "8 tpi"\n[gears]\nmodule = 1\nowned = [20]\n')
    run(63, lathe=path)
    (gear,) = document(capsys)["gears"]
    assert {way["head"] for way in gear["indexing"]} == {"40:1 head"}
    assert gear["indexing"][0]["method"] == "compound"


def test_backlash_and_shift_reach_the_measures(capsys):
    run(63, backlash=0.1)
    (loose,) = document(capsys)["gears"]
    run(63, shift=0.2)
    (shifted,) = document(capsys)["gears"]
    assert loose["span"]["mm"] == pytest.approx(20.071203, abs=1e-6)
    # thinned by half the pair's backlash along the line of action: 0.05 cos 20
    assert loose["span"]["mm"] - loose["span"]["mm_with_backlash"] == pytest.approx(
        0.0469846, abs=1e-6
    )
    assert shifted["tip_diameter_mm"] == pytest.approx(65.4)


def test_a_gear_offered_cut_costs_what_its_sheet_says(tmp_path, capsys):
    path = tmp_path / "offers.csv"
    path.write_text("teeth,price,how\n63,,cut\n64,9,cut\n")
    computed, given = load_offers(path, load_lathe(LATHE))
    run(63)
    (gear,) = document(capsys)["gears"]
    assert float(computed.price) == gear["costs"][0]["total"]
    assert given.price == 9


def test_a_gear_that_cannot_be_cut_here_is_not_offered_cut(tmp_path):
    path = tmp_path / "offers.csv"
    path.write_text("teeth,price,how\n63,,cut\n16,5,cut\n")
    with pytest.raises(FaultsError, match="cannot be cut here: The keyway"):
        load_offers(path, load_lathe(LATHE))


def test_fourteen_and_a_half_degree_gears_are_measured_with_pins_that_rest(tmp_path, capsys):
    wants = tmp_path / "wants.toml"
    wants.write_text('[[want]]\npitch = "8 tpi"\n')
    # keyway and bore of this lathe leave a rim from 20 teeth up
    run(*range(20, 34), lathe=Path("american-12"), wants=wants)
    for gear in document(capsys)["gears"]:
        least, most = gear["pin_range_mm"]
        assert least < gear["over_pins"]["pin_mm"] < most
        assert len(gear["over_pins_at_hand"]) == 3
        assert all(least < pins["pin_mm"] < most for pins in gear["over_pins_at_hand"])


def test_a_negative_shift_that_does_no_harm_is_no_undercut(capsys):
    run(24, shift=-0.2, cure=True)
    (gear,) = document(capsys)["gears"]
    assert (gear["undercut"], gear["profile_shift"], gear["curing_shift"]) == (False, -0.2, 0)
    assert not any("undercut" in caution for caution in gear["cautions"])
    run(24, shift=-0.5, cure=True)
    (gear,) = document(capsys)["gears"]
    assert gear["profile_shift"] == pytest.approx(-0.404, abs=5e-4)
