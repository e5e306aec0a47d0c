"""Files as people write them, a habit each: read right, or answered with a cure that, applied
word for word, makes them right. All lathes are one lathe, all wants the same wants."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from curing import cured

from gearchest.cli.check_command import check
from gearchest.cli.faults import FaultsError
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.reading import read_text
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want

HABITS = Path(__file__).parent / "habits"
LATHES = sorted(path.name for path in HABITS.glob("lathe-*.toml"))
WANTS = sorted(path.name for path in HABITS.glob("wants-*"))

MEANT = {
    "lathe-everything-bare-in-inches-unsaid.toml": "in",
    "lathe-only-the-slot-in-inches.toml": "in",
    "lathe-only-the-shafts-in-inches.toml": "in",
    "lathe-pitch-without-its-unit.toml": "tpi",
}
"""What was meant where the cure has to ask."""


def read_lathe(path: Path) -> Lathe:
    """The lathe as `check` passes it, but for its name and how it was written."""
    check([path])
    lathe = load_lathe(path)
    screw = replace(lathe.leadscrew, written="")
    return replace(lathe, name="", leadscrew=screw, inch=None)


def read_wants(path: Path) -> list[Want]:
    shop = load_lathe(Path("mini-7-metric"))
    return [
        replace(want, name="", pitch=replace(want.pitch, written=""))
        for want in load_wants(path, shop)
    ]


REFERENCES = {"lathe": read_lathe, "wants": read_wants}


def reading(path: Path) -> object:
    return REFERENCES[path.name.partition("-")[0]](path)


def reference(name: str) -> object:
    kind = name.partition("-")[0]
    found = REFERENCES[kind](HABITS / f"{kind}.toml")
    return found[:6] if isinstance(found, list) and name == "wants-single-bracket.toml" else found


def test_there_are_sixty() -> None:
    texts = {(HABITS / name).read_bytes() for name in (*LATHES, *WANTS)}
    assert len(texts) >= 60


@pytest.mark.parametrize("name", [*LATHES, *WANTS])
def test_a_habit_is_read_or_cured_in_one_round(tmp_path: Path, name: str) -> None:
    path = HABITS / name
    try:
        found = reading(path)
    except FaultsError as error:
        text = cured(read_text(path), error.faults, MEANT.get(name, ""))
        mended = tmp_path / name
        mended.write_text(text, encoding="utf-8")
        found = reading(mended)
    assert found == reference(name)
