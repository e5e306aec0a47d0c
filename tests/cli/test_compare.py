"""`gearchest compare`: the files it reads and writes, and what it says."""

from __future__ import annotations

import json
from fractions import Fraction
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest

from gearchest.cli.compare_command import compare
from gearchest.cli.faults import FaultsError

LATHE = """
name = "Bench lathe"
[leadscrew]
pitch = "{screw}"
[gears]
module = 1.0
owned = [40, 50, 60]
"""

WANTS = """
[[want]]
pitch = "1.6 mm"
[[want]]
pitch = "2.4 mm"
[[want]]
pitch = "9 mm"
name = "bench screw"
tolerance = "1 ppm"
[[want]]
pitch = "2 mm"
tolerance = "25 %"
"""


@pytest.fixture
def files(tmp_path: Path) -> tuple[Path, Path, Path]:
    """One lathe before and after a change of leadscrew, and four threads."""
    before, after, wants = (tmp_path / n for n in ("before.toml", "after.toml", "wants.toml"))
    before.write_text(LATHE.format(screw="2 mm"), encoding="utf-8")
    after.write_text(LATHE.format(screw="3 mm"), encoding="utf-8")
    wants.write_text(WANTS, encoding="utf-8")
    return before, after, wants


def run(files: tuple[Path, Path, Path], **options: Any) -> None:
    before, after, wants = files
    usual: dict[str, Any] = {"wants": wants, "out": before.with_name("out.html"), "json": None}
    compare(lathes=(before, after), **{**usual, **options})


def test_json_follows_the_contract(
    files: tuple[Path, Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    """40, 50 and 60: 40/50 x 2 = 1.6 mm and 60/50 x 2 = 2.4 mm; 40/50 x 3 = 2.4 mm. By the shop
    rule no compound of three single gears mounts. 40/60 x 3 = 2 mm, 1.6 mm is 25 % off it."""
    run(files, json="-")
    out, err = capsys.readouterr()
    document = json.loads(out)
    assert "errors allowed by the policy of before.toml" in err
    assert (document["kind"], document["version"]) == ("compare", 1)
    assert document["lathes"] == ["Bench lathe (1)", "Bench lathe (2)"]
    names = [pitch["name"] for pitch in document["pitches"]]
    verdicts = {
        pitch["name"]: [lathe["verdict"] for lathe in pitch["lathes"]]
        for pitch in document["pitches"]
    }
    assert verdicts[names[0]] == ["exact", "no train"]
    assert verdicts[names[1]] == ["exact", "exact"]
    assert verdicts["bench screw"] == ["no train", "no train"]
    assert verdicts[names[3]][1] == "exact"
    assert document["only"] == [[names[0]], []]
    assert document["both"] == [names[1], names[3]]
    assert document["neither"] == ["bench screw"]
    first = document["pitches"][1]["lathes"]
    assert [Fraction(lathe["train"]["ratio"]) for lathe in first] == [
        Fraction(6, 5),
        Fraction(4, 5),
    ]


def test_additions_do_bring_the_lathe_up_to_the_other(
    files: tuple[Path, Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    """1.6 mm on a 3 mm screw is 8/15; the owned gears and the one named make it within 0.1 %,
    the plain pitch's allowance."""
    run(files, json="-")
    document = json.loads(capsys.readouterr().out)
    none, (one,) = document["additions"]
    assert none == []
    assert one["name"] == document["only"][0][0]
    assert len(one["gears"]) == 1
    ratios = {
        Fraction(a * c, b * d) for a, b, c, d in permutations([40, 50, 60, *one["gears"]])
    } | {Fraction(a, b) for a, b in permutations([40, 50, 60, *one["gears"]], 2)}
    assert min(abs(ratio * Fraction(15, 8) - 1) for ratio in ratios) <= Fraction(1, 1000)


def test_page_and_terminal_tell_the_same(
    files: tuple[Path, Path, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run(files, out=tmp_path / "both.html")
    out = capsys.readouterr().out
    assert "both cut 2 of 4 threads" in out
    assert "neither: bench screw" in out
    assert "only Bench lathe (2): nothing" in out
    assert str(tmp_path / "both.html") in out
    page = (tmp_path / "both.html").read_text(encoding="utf-8")
    assert "Bench lathe (1)" in page
    assert "before.toml" in page
    assert "wants.toml" in page


def test_the_same_lathe_twice_differs_in_nothing(
    files: tuple[Path, Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    before, _, wants = files
    run((before, before, wants), json="-")
    document = json.loads(capsys.readouterr().out)
    assert document["only"] == [[], []]
    assert document["additions"] == [[], []]
    assert document["shared_gears"] == []
    assert all(p["lathes"][0] == p["lathes"][1] for p in document["pitches"])


def test_without_wants_the_examples_are_taken(
    files: tuple[Path, Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    run(files, wants=None, json="-")
    out, err = capsys.readouterr()
    assert "bundled example" in err
    assert "violin clamp screw" in {p["name"] for p in json.loads(out)["pitches"]}


def test_faults_are_told_before_the_work(files: tuple[Path, Path, Path], tmp_path: Path) -> None:
    with pytest.raises(FaultsError, match="no folder"):
        run(files, out=tmp_path / "nowhere" / "out.html")
    with pytest.raises(FaultsError, match="cannot read"):
        run((files[0], tmp_path / "absent.toml", files[2]))
    files[1].write_text(LATHE.format(screw="3 inches of mm"), encoding="utf-8")
    with pytest.raises(FaultsError, match=r"after\.toml"):
        run(files)
