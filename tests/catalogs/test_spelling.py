"""Spellings: sixty and more habits, and every name of every catalog set in every way."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import cache
from importlib.resources import files

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearchest.catalogs.spelling import spell
from gearchest.catalogs.threads import UnknownSize, all_series, find_size
from gearchest.cli.files.document import Patience
from gearchest.cli.files.pitches import read_pitch
from gearchest.optimizer.domain.notation import NotationError
from gearchest.optimizer.domain.thread import Thread

HABITS = {
    "M10x1.25": "M10x1,25|M10 × 1.25|M 10 X 1.25|10x1.25|m10*1.25|M10/1.25|M10x1.25mm"
    "|M10\u00a0x\u00a01,25|M10\u202f×\u202f1,25|М10х1,25|M10-1.25-6H|M10x1.25 6g|ISO M10x1.25"
    "|DIN 13 M10x1,25|MF 10x1,25|M10 pas de 1,25|M10 pas 125|M10 Steigung 1,25|M10x1.25 RH"
    "|M10 x P1.25|M10 pitch 1.25|10 mm x 1.25 mm|M10x1.25 bolt|M10 × 1.25 – 6g",
    "M10": "metric 10|M10 coarse|M 10|m10 p=1.5|M10x1½|BS 3643 M10|M10 6H/6g|M10-5g6g",
    "M2.5": "M2,5|m 2.5|2.5x0.45",
    "M10x1.25 LH": "M10x1,25 links|M10x1.25-LH|M10x1.25 LH-6g|M10x1.25 L.H.|M10x1.25 left-hand"
    "|M10x1.25 à gauche",
    "Tr20x4": "Tr 20 x 4|TR20-4|tr 20×4-7e|DIN 103 Tr20x4|Trapez 20x4|20x4|Tr20x4 - 8e",
    "Tr20x4 LH": "Tr 20 x 4 LH|Tr20x4LH|Tr 20x4-LH|Tr 20 × 4 LH – 7e|tr20x4 links",
    "Tr40x14 P7 LH": "Tr40x14(P7)LH|Tr 40 × 14 (P7) LH – 7e|Tr40x14 P7 left",
    "1/2-13 UNC": '1/2-13|½-13|1/2"-13 UNC-2A|½″–13 UNC|1/2 x 13|13 tpi 1/2"|1/2 in. 13 t.p.i.'
    "|UNC 1/2|.500-13|1/2-13UNC|ASME B1.1 1/2-13|1/2 inch, 13 threads per inch"
    "|1/2'' x 13|1/2” - 13|1⁄2-13|1/2-13 UNC-2B|1/2 NC",
    "3/8-16 UNC": '3/8-16|⅜-16|3/8" x 16 TPI|3/8 16 UNC',
    "#8-32 UNC": "No. 8-32|No.8-32|№ 8-32|Nr. 8-32|N° 8-32|#8-32|8-32 UNC-3A|8 UNC|.164-32",
    "1 1/2-6 UNC": '1 1/2-6|1½"-6|1-1/2"-6 UNC|1.5-6|1¹⁄₂-6|1\u00a01/2" – 6',
    "1/2 BSW": '1/2 Whit|½" Whitworth|1/2" B.S.W.|BS 84 1/2 BSW|W 1/2"|1/2 W|Whit. 1/2|1/2 in Whit'
    "|1/2 inch Whitworth|12 tpi 1/2 Whit|1/2-12 W|Whitworth 1/2 x 12|1/2 BSW medium fit",
    "3/8 BSF": '3/8 B.S.F.|BSF 3/8|⅜" BSF|3/8-20 BSF',
    "2 BA": "2BA|2 B.A.|BA2|No. 2 BA|#2 BA|2-BA",
    "G 1/2": 'G1/2"|G½|G 1/2 A|G1/2B|1/2" BSP|1/2 BSPP|1/2 gas|1/2" gaz|ISO 228-1 G 1/2|PF 1/2'
    "|1/2 BSP parallel",
    "G 1 LH": "G1A-LH|G 1 A LH",
    "R 1/2": 'R1/2"|1/2 BSPT|PT 1/2|Rc½|1/2 BSP taper',
    "1/2 NPT": '1/2-14 NPT|NPT 1/2"|½ NPT|ASME B1.20.1 1/2 NPT',
    "3/4-5 Acme": 'ACME 3/4 - 5|3/4"-5 ACME-2G|3/4 × 5 Acme|¾–5 Acme',
    "1/2-10 Acme 2 starts": "1/2-10 Acme 2 start|double start 1/2-10 Acme|Acme ½–10, twin start",
    "1/4-40 ME": "1/4 x 40 ME|1/4x40 Model|ME 1/4-40|40 tpi 1/4 ME",
    "1/4-26 Brass": "26 tpi 1/4 Brass|1/4 Brass|¼ BSB",
    "1/4-26 BSC": "1/4 x 26 CEI|26 tpi cycle 1/4|CEI ¼-26",
    "spark plug M14x1.25": "M14x1.25 spark plug",
    "E27 lamp": "E27|Edison 27|E 27",
}

APART = {
    '1" x 24 tpi': ("24 tpi", 25.4, ""),
    "24 TPI × 1 in": ("24 tpi", 25.4, ""),
    "38 mm x 6 tpi": ("6 tpi", 38, ""),
    '1 1/2" x 2.5 mm': ("2.5 mm", 38.1, ""),
    'W 20x1/14"': ("14 tpi", 20, "whitworth"),
    "W 21,8 x 1/14": ("14 tpi", 21.8, "whitworth"),
    "1/2-24 UNS": ("24 tpi", 12.7, "unified"),
}
"""Pairs that no catalog has: pitch, diameter in mm, form."""


@pytest.mark.parametrize(
    ("written", "name"),
    [(text, name) for name, texts in HABITS.items() for text in texts.split("|")],
)
def test_a_habit_is_understood(written: str, name: str) -> None:
    assert find_size(written).name == name
    named = read_pitch(written, Patience())
    assert (named.thread, named.left) == (find_size(written), name.endswith("LH"))


@pytest.mark.parametrize(("written", "told"), APART.items())
def test_a_pair_with_its_units_is_a_thread(written: str, told: tuple[str, float, str]) -> None:
    for text in (written, f"{written} LH"):
        thread = find_size(text)
        assert (str(thread.pitch), thread.form) == (told[0], told[2])
        assert float(thread.major_mm or 0) == pytest.approx(told[1])
        assert thread.left == text.endswith("LH")
        assert find_size(thread.name) == thread


@pytest.mark.parametrize(
    ("written", "cure"),
    [
        ("10x1.5", 'write "M10" or "Tr10x1.5"'),
        ("20x2", 'write "M20x2" or "Tr20x2"'),
        ("2 UNC", 'write "#2-56 UNC" or "2-4.5 UNC"'),
        ("M10x50", 'if 50 is the length of the screw, leave it out: "M10"'),
        ("M10x1.25x40", 'leave it out: "M10x1.25"'),
        ('1/4-20 x 1 1/2"', 'if 1.5 is the length of the screw, leave it out: "1/4-20 UNC"'),
        ("M10x1.27", 'M10x1.25, .*write the pitch "1.27 mm" with the diameter "10 mm" beside it'),
        ('1" x 24', 'write the pitch "24 tpi" with the diameter "1 in" beside it'),
        ("1 1/4-13 UNC", 'write the pitch "13 tpi" with the diameter "1 1/4 in" beside it'),
        ("12.7x1.27", "the nearest sizes are 1/2-20 UNF"),
        ("Rd 20 x 1/8", 'write the pitch "8 tpi" with the diameter "20 mm" beside it'),
        ("Pg 16", 'no series is called "pg": write the pitch with its unit'),
        ("#8", "the nearest sizes are #8-32 UNC, #8-36 UNF"),
        ("M10 fine", "M10x1, M10x0.75, M10x1.25"),
        ("1/4 CEI", "the nearest sizes are 1/4-26 BSC"),
    ],
)
def test_what_cannot_be_understood_gets_the_cure_it_needs(written: str, cure: str) -> None:
    with pytest.raises(NotationError) as refused:
        read_pitch(written, Patience())
    assert re.search(cure, refused.value.fix), refused.value.fix


@pytest.mark.parametrize(
    "written", ["10 mm x 24 tpi", '10" x 1.5', "33x3.5 tpi", "10 mm UNC", '8"-32']
)
def test_units_that_speak_against_a_size_keep_it_away(written: str) -> None:
    """Of the bare numbers each is a size: 10-24 UNC, M10, M33, #10 UNC, #8-32."""
    with suppress(UnknownSize):
        assert find_size(written).series == ""


@cache
def every_text() -> list[tuple[Thread, str]]:
    """Every size with every way its catalog says it is written."""
    return [
        (entry.thread, text)
        for catalog in all_series()
        for entry, texts in zip(catalog.entries, _written(catalog.name), strict=True)
        for text in texts
    ]


def _written(name: str) -> Iterator[list[str]]:
    """Row by row, read from the file afresh."""
    text = files("gearchest.catalogs").joinpath("series", f"{name}.csv").read_text("utf-8")
    lines = text.splitlines()
    start = next(i for i, line in enumerate(lines) if not line.startswith("#"))
    head = dict(re.findall(r"^# (\w+): *(.*)$", "\n".join(lines[:start]), re.MULTILINE))
    templates = [head["name"], *filter(None, re.split(" *; *", head.get("written", "")))]
    for row in csv.DictReader(lines[start:]):
        values = {"number": row["size"].lstrip("#"), "pitch": row.get("pitch_mm", "")}
        also = filter(None, re.split(" *; *", row.get("also") or ""))
        yield [*(template.format(**row, **values) for template in templates), *also]


def same(one: Thread, other: Thread) -> bool:
    """Whether two catalogs' entries are one thread in steel."""
    return (one.pitch, one.major_mm, one.form) == (other.pitch, other.major_mm, other.form)


def means(text: str, thread: Thread) -> bool:
    """Whether a text finds this thread and no other, or names it among few to choose from."""
    try:
        return same(find_size(text), thread)
    except UnknownSize as unknown:
        return "more than one size" in str(unknown) and any(
            same(find_size(name), thread) for name in unknown.nearest
        )


def test_every_spelling_finds_its_own_size_and_no_other() -> None:
    assert len(every_text()) > 4000
    assert [pair for pair in every_text() if not means(pair[1], pair[0])] == []


def test_every_name_is_sure() -> None:
    for thread, _ in every_text():
        assert same(find_size(thread.name), thread)


def test_a_spelling_of_a_spelling_is_itself() -> None:
    for _, text in every_text():
        key = spell(text).key
        assert spell(key).key == key, text


GLYPHS = {"1/2": "½", "1/4": "¼", "3/4": "¾", "1/8": "⅛", "3/8": "⅜", "5/8": "⅝", "7/8": "⅞"}

SETTINGS: list[Callable[[str], str]] = [
    str.lower,
    str.upper,
    str.swapcase,
    lambda text: re.sub(r"(?<=\d)\.(?=\d)", ",", text),
    lambda text: re.sub(r"(?<=\d)[xX](?=\d)", "\u00a0×\u00a0", text),
    lambda text: re.sub(r"(?<=\d)[xX](?=\d)", "*", text),
    lambda text: text.replace("-", "\u2013"),
    lambda text: text.replace("-", " \u2212 "),
    lambda text: text.replace(" ", "\u00a0"),
    lambda text: text.replace(" ", "  "),
    lambda text: text.replace("/", "\u2044"),
    lambda text: re.sub(
        r"(?<![\d/])(\d/\d)(?![\d/])", lambda found: GLYPHS.get(found[1], found[1]), text
    ),
    lambda text: f" {text}\u200b ",
    lambda text: f"{text} RH",
]


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from(every_text()),
    st.lists(st.sampled_from(SETTINGS), min_size=1, max_size=4),
    st.sampled_from(["", " LH", "-LH", " left-hand", " links"]),
)
def test_however_a_name_is_set_it_means_the_same(
    pair: tuple[Thread, str], ways: list[Callable[[str], str]], hand: str
) -> None:
    thread, text = pair
    written = text + hand
    for way in ways:
        written = way(written)
    assert spell(written).key == spell(text).key, written
    assert spell(written).left == bool(hand), written
    assert means(written, thread), written
