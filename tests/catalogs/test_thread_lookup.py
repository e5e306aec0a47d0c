"""Sizes as people write them, and ranges of a series."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.catalogs.spelling import spell
from gearchest.catalogs.threads import (
    UnknownSeries,
    UnknownSize,
    all_series,
    find_size,
    series,
    series_names,
    sizes,
)

WRITTEN = {
    "M10": "M10|m10|M10 P1.5|M 10|m10 x 1.5|M10x1,5|M10×1.5|M10-1.5|M10-6g|M10x1.5 - 6g6g"
    "|M10x1 1/2",
    "M10x1.25": "M10x1.25|m10 X 1.25|M10 x 5/4|M10-1.25|M10*1.25",
    "1/4-20 UNC": '1/4-20|1/4 unc|1/4"-20|1/4-20 UNC|.25-20|0.250-20 unc|¼-20|1/4 in-20 tpi UNC'
    "|UNC 1/4|1/4-20 UNC-2A|1/4-20 NC|1/4-20UNC",
    "#10-24 UNC": "#10-24|10-24|No. 10-24|10 UNC|#10 UNC|10-24 NC|10 - 24",
    "#2-56 UNC": "#2-56|2-56|#2 UNC",
    "2-4.5 UNC": '2-4.5|2-4 1/2|2" UNC|2-4.5 UNC|2" - 4½ UNC',
    "1 1/8-12 UNF": "1 1/8-12|1-1/8-12 UNF|1⅛-12|1.125-12 unf",
    "1 1/8-8 UN": "1 1/8-8|1 1/8-8 UN|1-1/8-8UN|1 1/8-8 8-UN",
    "1/2 BSW": '1/2 BSW|1/2" whit|1/2 Whitworth|½ bsw|1/2-12 whit|Whit 1/2|W 1/2|BSW 1/2"',
    "1 1/2 BSW": "1 1/2 BSW|1½ BSW|1-1/2 bsw|1.5 BSW",
    "2 BA": "2 BA|2ba|BA 2|No. 2 BA|no 2 ba",
    "Tr20x4": "Tr20x4|Tr 20 x 4|TR20X4|tr20-4|Tr20x4-7e|20x4 Tr",
    "3/4-6 Acme": '3/4-6 Acme|3/4 acme|3/4"-6 ACME-2G|Acme 3/4-6',
    "3/4-5 Acme": "3/4-5 acme|3/4-5 ACME|Acme 3/4-5",
    "1/2-10 Stub Acme": "1/2-10 stub acme|stub acme 1/2",
    "G 1/2": "G 1/2|G1/2|g 1/2|1/2 BSP|1/2 BSPP|G½",
    "R 1/2": "R 1/2|R1/2|1/2 BSPT|Rc 1/2",
    "1 NPT": '1 NPT|1-11.5 NPT|1-11 1/2 npt|1" NPT',
    "1/4-26 BSC": "1/4-26 BSC|1/4-26 cei|1/4-26 Cycle",
    "1/4-40 ME": "1/4-40 ME|1/4x40 Model Engineer|1/4 x 40 ME",
    "E27 lamp": "E27|e 27|E27 lamp",
    "C-mount": "C-mount|c mount|C Mount",
    "module 1.5": "module 1.5|mod 1.5|1.5 module",
    "bench vise 2 in": "bench vise|bench vice|Bench vise 2 in|bench-vise",
}


@pytest.mark.parametrize(
    ("written", "name"),
    [(text, name) for name, texts in WRITTEN.items() for text in texts.split("|")],
)
def test_a_size_is_known_however_it_is_written(written: str, name: str) -> None:
    assert find_size(written).name == name


@pytest.mark.parametrize("written", ["M8 LH", "M8LH", "M8-LH", "m8 lh", "M8 left", "M8 left-hand"])
def test_the_left_hand_is_read_after_any_size(written: str) -> None:
    thread = find_size(written)
    assert thread.left
    assert thread.name == "M8 LH"
    assert thread.pitch == find_size("M8").pitch


@pytest.mark.parametrize(
    ("written", "pitch", "starts", "lead"),
    [
        ("Tr40x14 P7", "7", 2, 14), ("Tr40x14P7", "7", 2, 14), ("tr 40 x 14 (P7) LH", "7", 2, 14),
        ("Tr40x7", "7", 1, 7), ("Tr20x12 P4", "4", 3, 12), ("M16xPh3P1.5", "3/2", 2, 3),
        ("1/2-10 Acme 2 starts", "127/50", 2, 5.08), ("1/2-10 Acme, 3-start", "127/50", 3, 7.62),
    ],
)  # fmt: skip
def test_several_starts_keep_pitch_and_lead_apart(
    written: str, pitch: str, starts: int, lead: float
) -> None:
    found = find_size(written).pitch
    assert (found.rational, found.starts) == (Fraction(pitch), starts)
    assert found.lead_mm == pytest.approx(lead)


@pytest.mark.parametrize(
    ("written", "among"),
    [
        ("M10x1.2", "M10x1.25"), ("M10x1.2", "M10"), ("1/4-21", "1/4-20 UNC"),
        ("1/4-26", "1/4 BSF"),
        ("Tr20", "Tr20x4"), ("1/2", "1/2-13 UNC"), ("2 UNC", "#2-56 UNC"), ("2 UNC", "2-4.5 UNC"),
        ("3 BE", "3 BA"), ("Tr40x15 P7", "Tr40x7"), ("Tr40x0 P7", "Tr40x7"),
    ],
)  # fmt: skip
def test_an_unknown_or_ambiguous_size_gets_its_nearest(written: str, among: str) -> None:
    with pytest.raises(UnknownSize) as unknown:
        find_size(written)
    assert unknown.value.text == written
    assert among in unknown.value.nearest


@pytest.mark.parametrize(
    "written", ["1.25 mm", "8 tpi", "1.25", "8", "", "  ", "Tr40x7 P0", "x" * 500]
)
def test_what_is_no_size_is_left_to_others(written: str) -> None:
    with pytest.raises(UnknownSize):
        find_size(written)


@settings(max_examples=150, deadline=None)
@given(st.text(alphabet='mtrx /-.,#"½°0123456789abunclhp', max_size=24))
def test_any_text_is_a_size_or_an_unknown_size(written: str) -> None:
    spell(written)
    with suppress(UnknownSize):
        assert find_size(written).pitch.rational > 0


def test_no_two_sizes_of_a_series_share_every_spelling() -> None:
    for catalog in all_series():
        for entry in catalog.entries:
            assert find_size(entry.thread.name).major_mm == entry.thread.major_mm


def test_a_range_of_a_series() -> None:
    names = [thread.name for thread in sizes("iso-metric-coarse", "M3", "M6")]
    assert names == ["M3", "M3.5", "M4", "M4.5", "M5", "M6"]
    assert len(sizes("iso-metric-coarse")) == 40
    assert [t.name for t in sizes("BA", "2 BA", "4BA")] == ["2 BA", "3 BA", "4 BA"]


def test_a_diameter_alone_takes_all_its_pitches() -> None:
    names = [thread.name for thread in sizes("iso-metric-fine", "M8", "M9")]
    assert names == ["M8x0.75", "M8x1", "M9x0.75", "M9x1"]
    assert [t.name for t in sizes("unified-coarse", "10", "1/4")] == [
        "#10-24 UNC", "#12-24 UNC", "1/4-20 UNC",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("name", "first", "last", "among"),
    [
        ("iso-metric-course", None, None, "iso-metric-coarse"),
        ("iso-metric-coarse", "M3.3", None, "M3"),
        ("iso-metric-coarse", None, "M10x1.25", "M10"),
        ("iso-metric-coarse", "M20", "M3", "M20"),
    ],
)
def test_a_range_that_cannot_be(name: str, first: str | None, last: str | None, among: str) -> None:
    with pytest.raises(UnknownSeries) as unknown:
        sizes(name, first, last)
    assert among in unknown.value.nearest


def test_series_are_named_and_found_loosely() -> None:
    assert series_names()[0] == "iso-metric-coarse"
    assert series("ISO metric coarse") is series("iso-metric-coarse")
