"""The thread catalogs against second sources.

`thread_sizes.csv` holds rows of tables other than those the catalogs were made from, each
with its source; a pitch must agree exactly, a pitch diameter to the rounding of its table.
"""

from __future__ import annotations

import csv
from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest

from gearchest.catalogs.thread_files import CatalogError, load
from gearchest.catalogs.threads import all_series, find_size, series
from gearchest.optimizer.threads.forms import dimensions

CHECKS = Path(__file__).parents[1] / "checks"
MM_PER_INCH = Fraction(127, 5)

COUNTS = {
    "iso-metric-coarse": 40, "iso-metric-fine": 171, "iso-trapezoidal": 238,
    "unified-coarse": 33, "unified-fine": 24, "unified-extra-fine": 25, "unified-8": 49,
    "unified-12": 56, "unified-16": 59, "unified-20": 37, "unified-28": 22, "unified-32": 17,
    "unified-special": 1, "acme": 23, "acme-other": 13, "stub-acme": 23,
    "whitworth-coarse": 32, "whitworth-fine": 30, "ba": 17, "cycle": 22, "model-engineer": 15,
    "brass": 23, "pipe-g": 24, "pipe-r": 15, "pipe-npt": 19, "worm-module": 22, "worm-dp": 21,
    "oddities": 39, "wood": 20,
}  # fmt: skip

OWN_SOURCE = {
    "unified-special": "asme_limits.csv, in test_allowance.py",
    "acme-other": "from memory, said so in each row",
    "brass": "common practice: one pitch for every diameter",
    "worm-module": "module_series.csv, below",
    "worm-dp": "common practice, no source",
    "oddities": "the standard series they belong to, below",
    "wood": "common practice; articles, below",
}
"""Series that no table of thread_sizes.csv covers, and what stands in."""

TABLE_ROUNDING_MM = 0.006
"""Half a unit of the coarsest table's last place (NPT, 0.01 mm) and a little: the Whitworth
table gives inches computed back from mm, up to 0.0002 in too much."""


def second_source() -> list[dict[str, str]]:
    with (CHECKS / "thread_sizes.csv").open(newline="") as file:
        return list(csv.DictReader(file))


def pitch_mm(row: dict[str, str]) -> Fraction:
    number = Fraction(row["pitch"])
    return number if row["unit"] == "mm" else MM_PER_INCH / number


@pytest.mark.parametrize("row", second_source(), ids=lambda row: f"{row['series']} {row['size']}")
def test_a_second_source_gives_the_same_pitch_and_pitch_diameter(row: dict[str, str]) -> None:
    thread = find_size(row["size"])
    assert thread.name in [entry.thread.name for entry in series(row["series"]).entries]
    assert thread.pitch.rational == pitch_mm(row)
    if row["pitch_diameter"]:
        unit = 1.0 if row["pitch_diameter_unit"] == "mm" else 25.4
        published = float(row["pitch_diameter"]) * unit
        found = dimensions(thread).pitch_diameter_mm
        assert found == pytest.approx(published, abs=TABLE_ROUNDING_MM)


def test_every_series_has_its_rows_and_none_is_forgotten() -> None:
    assert {each.name: len(each.entries) for each in all_series()} == COUNTS


@pytest.mark.parametrize("name", COUNTS)
def test_one_row_in_three_has_a_second_source(name: str) -> None:
    seen = Counter(row["series"] for row in {r["size"]: r for r in second_source()}.values())
    assert seen[name] * 3 >= COUNTS[name] or name in OWN_SOURCE


@pytest.mark.parametrize("name", COUNTS)
def test_every_row_is_a_thread_with_a_source_that_its_own_name_finds(name: str) -> None:
    for entry in series(name).entries:
        thread = entry.thread
        found = find_size(thread.name)
        assert (found.pitch, found.major_mm) == (thread.pitch, thread.major_mm), thread.name
        assert entry.source
        assert thread.series == name
        ridge = dimensions(thread).profile
        assert ridge.pitch_mm == thread.pitch.mm
        assert 0 <= ridge.depth_mm < ridge.pitch_mm


@pytest.mark.parametrize(
    ("size", "tpi"),
    [('2" UNC', "9/2"), ("2 1/4 UNC", "9/2"), ("2 1/2 UNC", "4"), ("1 3/4 UNC", "5")],
)
def test_large_coarse_unified_sizes_that_tables_get_wrong(size: str, tpi: str) -> None:
    """4 1/2, not 4 threads per inch: ASME B1.1; Machinery's Handbook 31, table 4a, p. 1978."""
    assert find_size(size).pitch.rational == MM_PER_INCH / Fraction(tpi)


@pytest.mark.parametrize(
    ("size", "pitch", "d2", "d3", "nut_minor", "nut_major"),
    [
        ("Tr9x2", 2, 8.0, 6.5, 7.0, 9.5),
        ("Tr10x1.5", 1.5, 9.25, 8.2, 8.5, 10.3),
        ("Tr42x10", 10, 37.0, 31.0, 32.0, 43.0),
    ],
)
def test_trapezoidal_rows_garbled_in_one_print(
    size: str, pitch: float, d2: float, d3: float, nut_minor: float, nut_major: float
) -> None:
    """threadlib design/TR.csv, read; another print has d3 9.250, 2.000 and 41.000 there."""
    sizes = dimensions(find_size(size))
    assert sizes.profile.pitch_mm == pitch
    found = (sizes.pitch_diameter_mm, sizes.minor_mm, sizes.nut_minor_mm, sizes.nut_major_mm)
    assert found == pytest.approx((d2, d3, nut_minor, nut_major))


def test_brass_has_its_one_pitch_at_every_diameter_in_use() -> None:
    """26 to the inch, by sixteenths to 1 in and by eighths to 2 in."""
    sixteenths = [*range(2, 17), *range(18, 33, 2)]
    entries = series("brass").entries
    assert [entry.thread.major_mm for entry in entries] == [
        MM_PER_INCH * n / 16 for n in sixteenths
    ]
    assert {entry.thread.pitch.rational for entry in entries} == {MM_PER_INCH / 26}
    assert {entry.thread.form for entry in entries} == {"whitworth"}


BA_TPI = [25.38, 28.25, 31.35, 34.84, 38.46, 43.1, 47.85, 52.91, 59.17, 64.94, 72.46, 81.97, 90.91]
"""Threads per inch printed for 0 to 12 BA: from the pitch in inches, rounded to 0.0001."""


def test_ba_pitches_are_powers_of_nine_tenths_and_give_the_published_tpi() -> None:
    for number, entry in enumerate(series("ba").entries):
        rule = round(Fraction(9, 10) ** number * 100) / Fraction(100)
        assert entry.thread.name == f"{number} BA"
        assert entry.thread.pitch.rational == rule
        if number < len(BA_TPI):
            inches = round(entry.thread.pitch.mm / 25.4, 4)
            assert round(1 / inches, 2) == BA_TPI[number]


def test_module_worms_are_the_standard_modules() -> None:
    """module_series.csv: ISO 54 series I and II, DIN 780 below 1."""
    with (CHECKS / "module_series.csv").open(newline="") as file:
        listed = [row["values"] for row in csv.DictReader(file) if "worm" not in row["series"]]
    standard = {Fraction(value) for values in listed for value in values.split()}
    modules = [entry.thread.pitch for entry in series("worm-module").entries]
    assert all(pitch.pi and pitch.rational in standard for pitch in modules)


def test_a_dp_worm_is_pi_inches_over_its_pitch() -> None:
    assert find_size("20 dp").pitch.mm == pytest.approx(3.98982, abs=5e-6)


@pytest.mark.parametrize(
    ("odd", "standard"),
    [
        ("tripod 1/4", "1/4-20 UNC"), ("tripod 3/8", "3/8-16 UNC"),
        ("surveying tripod 5/8", "5/8-11 UNC"), ("C-mount", "1-32 UN"),
        ("D-mount", "5/8-32 UN"), ("lathe nose 1-8", "1-8 UNC"),
        ("lathe nose 3/4-16", "3/4-16 UNF"), ("lathe nose 1 1/4-8", "1 1/4-8 UN"),
        ("lathe nose 1 1/2-8", "1 1/2-8 UN"), ("lathe nose 2 1/4-8", "2 1/4-8 UN"),
        ("lathe nose M33x3.5", "M33"), ("spark plug M10x1", "M10x1"),
        ("spark plug M12x1.25", "M12x1.25"), ("spark plug M14x1.25", "M14x1.25"),
        ("spark plug M18x1.5", "M18x1.5"),
    ],
)  # fmt: skip
def test_odd_threads_that_are_standard_sizes(odd: str, standard: str) -> None:
    one, other = find_size(odd), find_size(standard)
    assert (one.pitch, one.major_mm, one.form) == (other.pitch, other.major_mm, other.form)


@pytest.mark.parametrize(("size", "tpi"), [("screw box 1 in", 8), ("turned box 16 tpi", 16)])
def test_pitches_read_in_articles_lie_within_the_practice(size: str, tpi: int) -> None:
    """Wood: 8 tpi on 1 in (tools for threading wood); 16 for boxes (two articles)."""
    entry = next(each for each in series("wood").entries if each.thread.name == size)
    low, high = (Fraction(text) for text in entry.practice.split(" tpi")[0].split(" to "))
    assert low <= tpi <= high


GOOD = """# title: Test
# order: 1
# form: iso
# standard: ISO 965-1
# name: M{size}
# source: none
size,d_mm,pitch_mm
3,3,0.5
"""


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("3,3,0.5", "3,3,", "line 8: one pitch is needed"),
        ("3,3,0.5", "3,3,half", "line 8: 'half'"),
        ("3,3,0.5", "3,3,0", "line 8"),
        ("3,3,0.5", "3,3", "line 8: the row does not fit"),
        ("3,3,0.5", "3,3,0.5\n3,3,0.6", "M3 stands twice"),
        ("3,3,0.5\n", "", "no rows"),
        ("form: iso", "form: round", "unknown form 'round'"),
        ("ISO 965-1", "ISO 1", "unknown standard 'ISO 1'"),
        ("# source: none\n", "", "the head lacks source"),
        ("# source", "# sauce", "line 6: unknown head line"),
        ("d_mm", "dia", "unknown columns dia"),
    ],
)
def test_a_faulty_catalog_file_is_refused(tmp_path: Path, old: str, new: str, told: str) -> None:
    file = tmp_path / "test.csv"
    file.write_text(GOOD)
    assert [entry.thread.name for entry in load(file).entries] == ["M3"]
    file.write_text(GOOD.replace(old, new))
    with pytest.raises(CatalogError, match=r"test\.csv") as refusal:
        load(file)
    assert told in str(refusal.value)
