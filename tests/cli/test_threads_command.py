"""`gearchest threads`: every series listed, one series in full, an unknown one refused."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable
from pathlib import Path

import pytest

from gearchest.catalogs.threads import series, series_names
from gearchest.cli.faults import FaultsError
from gearchest.cli.threads_command import threads

WIDTHS = (120, 80, 60, 40, 24)


def _cells(lines: Iterable[str], name: str) -> list[str]:
    """The cells of the row of that name: columns stand at least two spaces apart."""
    row = next(line for line in lines if line.startswith(f"{name}  "))
    return [cell.strip() for cell in row.split("  ") if cell.strip()]


def test_all_series_are_listed_with_form_and_source(capsys: pytest.CaptureFixture[str]) -> None:
    threads(None, wide=True)
    lines = capsys.readouterr().out.splitlines()
    for name in series_names():
        assert _cells(lines, name)[-1] == series(name).source
    assert _cells(lines, "whitworth-coarse")[1:5] == [
        "32", "British Standard Whitworth (BSW)", "1/8 BSW to 6 BSW", "Whitworth, 55°",
    ]  # fmt: skip


def test_one_series_has_every_size_with_pitch_and_allowance(
    capsys: pytest.CaptureFixture[str],
) -> None:
    threads("BA")
    lines = capsys.readouterr().out.splitlines()
    assert all(_cells(lines, f"{number} BA") for number in range(17))
    assert _cells(lines, "2 BA") == [
        "2 BA", "0.81 mm", "0.8100", "4.7", "4.214", "3.728", "0.5 %",
    ]  # fmt: skip
    assert any(line.startswith("Source: BS 93") for line in lines)


def test_wood_tells_its_ranges_and_that_they_are_common_practice(
    capsys: pytest.CaptureFixture[str],
) -> None:
    threads("wood")
    narrow = capsys.readouterr().out
    assert "2 to 4 tpi, 2 to 2.5 in" in _cells(narrow.splitlines(), "bench vise 2 in")
    threads("wood", wide=True)
    vise = _cells(capsys.readouterr().out.splitlines(), "bench vise 2 in")
    assert {"common practice", "wooden V, 90 degrees"} <= set(vise)


def test_odd_threads_name_their_form_and_source_row_by_row(
    capsys: pytest.CaptureFixture[str],
) -> None:
    threads("oddities", wide=True)
    lines = capsys.readouterr().out.splitlines()
    assert {"Unified", "ISO 1222"} <= set(_cells(lines, "tripod 1/4"))
    assert {"from memory", "IEC 60061-1"} <= set(_cells(lines, "E27 lamp"))


@pytest.mark.parametrize("name", [None, *series_names()])
def test_every_listing_fits_its_terminal_with_names_whole(
    name: str | None, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    names = series_names() if name is None else [e.thread.name for e in series(name).entries]
    for width in WIDTHS:
        monkeypatch.setenv("COLUMNS", str(width))
        threads(name)
        lines = capsys.readouterr().out.splitlines()
        # a name longer than the terminal goes on below, a word to a line at the worst
        words = max(len(word) for word in " ".join(lines).split())
        assert max(map(len, lines)) <= max(width, words)
        run_on = " ".join(" ".join(lines).split())
        assert all(name in run_on for name in names)
        if width >= 60:
            starts = {line.split("  ")[0] for line in lines}
            assert starts >= set(names)


@pytest.mark.parametrize("wide", [False, True])
def test_a_listing_is_plain_text(wide: bool, capsys: pytest.CaptureFixture[str]) -> None:
    for name in (None, *series_names()):
        threads(name, wide=wide)
        out = capsys.readouterr().out
        assert "\x1b" not in out
        assert not any("\u2500" <= char <= "\u259f" for char in out)


def test_what_had_no_room_is_named_and_wide_has_it(capsys: pytest.CaptureFixture[str]) -> None:
    threads("wood")
    told = " ".join(capsys.readouterr().out.split())
    assert "Allowed lead error" in told.partition("No room for: ")[2]
    threads("wood", wide=True)
    assert "No room" not in capsys.readouterr().out


def test_csv_and_json_hold_every_row_and_column(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    threads("whitworth-coarse", csv="-")
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert [row["name"] for row in rows] == [
        entry.thread.name for entry in series("whitworth-coarse").entries
    ]
    half = next(row for row in rows if row["name"] == "1/2 BSW")
    assert (half["pitch"], float(half["diameter_mm"])) == ("12 tpi", 12.7)
    threads("whitworth-coarse", json=str(tmp_path / "bsw.json"))
    document = json.loads((tmp_path / "bsw.json").read_text(encoding="utf-8"))
    assert (document["kind"], document["version"]) == ("threads", 1)
    (catalog,) = document["series"]
    assert (catalog["name"], catalog["sizes"]) == ("whitworth-coarse", 32)
    assert [list(row) for row in catalog["threads"]] == [list(row) for row in rows]


def test_the_list_of_series_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    threads(None, json="-")
    document = json.loads(capsys.readouterr().out)
    assert [each["name"] for each in document["series"]] == list(series_names())


def test_one_stream_cannot_hold_both() -> None:
    with pytest.raises(FaultsError, match="either JSON or CSV"):
        threads("wood", json="-", csv="-")


def test_an_unknown_series_is_refused_with_the_nearest() -> None:
    with pytest.raises(FaultsError) as refused:
        threads("whitworth course")
    told = str(refused.value)
    assert "whitworth course" in told
    assert "nearest are whitworth-coarse" in told
