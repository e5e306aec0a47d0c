"""`gearchest threads`: every series listed, one series in full, an unknown one refused."""

from __future__ import annotations

import pytest

from gearchest.catalogs.threads import series, series_names
from gearchest.cli.faults import FaultsError
from gearchest.cli.threads_command import threads


@pytest.fixture(autouse=True)
def wide(monkeypatch: pytest.MonkeyPatch) -> None:
    """A terminal wide enough that no cell wraps."""
    monkeypatch.setenv("COLUMNS", "400")


def test_all_series_are_listed_with_form_and_source(capsys: pytest.CaptureFixture[str]) -> None:
    threads(None)
    lines = capsys.readouterr().out.splitlines()
    for name in series_names():
        line = next(line for line in lines if f" {name} " in line)
        assert series(name).source in line
    whitworth = next(line for line in lines if " whitworth-coarse " in line)
    assert "Whitworth, 55°" in whitworth
    assert "1/8 BSW to 6 BSW" in whitworth


def test_one_series_has_every_size_with_pitch_and_allowance(
    capsys: pytest.CaptureFixture[str],
) -> None:
    threads("BA")
    out = capsys.readouterr().out
    assert all(f" {number} BA " in out for number in range(17))
    two = next(line for line in out.splitlines() if " 2 BA " in line)
    assert [cell.strip() for cell in two.strip("│").split("│")] == [
        "2 BA", "0.81 mm", "0.810", "4.7", "4.214", "3.728", "0.5 %",
    ]  # fmt: skip
    assert "Source: BS 93" in out


def test_wood_tells_its_ranges_and_that_they_are_common_practice(
    capsys: pytest.CaptureFixture[str],
) -> None:
    threads("wood")
    out = capsys.readouterr().out
    vise = next(line for line in out.splitlines() if " bench vise 2 in " in line)
    assert "2 to 4 tpi on 2 to 2.5 in" in vise
    assert "common practice" in vise
    assert "90 degrees" in vise


def test_odd_threads_name_their_form_and_source_row_by_row(
    capsys: pytest.CaptureFixture[str],
) -> None:
    threads("oddities")
    lines = capsys.readouterr().out.splitlines()
    tripod = next(line for line in lines if " tripod 1/4 " in line)
    assert "Unified" in tripod
    assert "ISO 1222" in tripod
    lamp = next(line for line in lines if " E27 lamp " in line)
    assert "from memory" in lamp
    assert "IEC 60061-1" in lamp


@pytest.mark.parametrize("name", series_names())
def test_every_series_can_be_listed(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    threads(name)
    assert series(name).entries[-1].thread.name in capsys.readouterr().out


def test_an_unknown_series_is_refused_with_the_nearest() -> None:
    with pytest.raises(FaultsError) as refused:
        threads("whitworth course")
    told = str(refused.value)
    assert "whitworth course" in told
    assert "nearest are whitworth-coarse" in told
