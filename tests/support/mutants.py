"""Good files made bad in the ways files go bad: slips, wrong values, wrong bytes, too much.

Every mutant follows from its seed alone.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from file_samples import EVERY_KEY, LEAST

from gearchest.catalogs.lathes import lathe_file

ARM = "[banjo]\naxis_distance = 60\nslots = [ { start = 15, end = 60 } ]\n"
SHOP = """[workshop]
hourly_rate = 20
minutes_per_tooth = 2
material_price = 10
cutters = [24, 40]
backlash = 0.05
ways = ["mill", "print"]
"""
WANTS = """[[want]]
pitch = "1 mm"
tolerance = "0.1 %"
weight = 2
[[want]]
pitch = "M6"
[[want]]
series = "ba"
from = "2 BA"
to = "4 BA"
[[want]]
pitch = "1 module"
use = "worm"
[[want]]
pitch = "8 tpi"
name = "bench screw"
use = "wood"
diameter = "40 mm"
left = true
[[want]]
pitch = "2 mm"
use = "travel"
grade = "T7"
"""
OFFERS = "teeth,price,how,copies,module,note\n63,10,buy,1,,a\n90,5,cut,,,\n127,20,buy,2,1,\n"

_GIVEN = (Path(__file__).parents[1] / "hostile" / "values.txt").read_text(encoding="utf-8")
NUMBERS = _GIVEN.partition("\n\n")[0].split("\n")
VALUES = [*NUMBERS, *_GIVEN.partition("\n\n")[2].splitlines()]
BYTES = (
    b"\x00",
    b"\xff",
    b"\xfe\xff",
    b"\x1b[2J",
    b"\r",
    b"\x85",
    b"\xed\xa0\x80",
    b"\xe2\x80\xae",
)


@dataclass(frozen=True)
class Mutant:
    """Three files; `changed` names the one that is not as it should be."""

    lathe: bytes
    wants: bytes
    offers: bytes
    changed: str

    @property
    def files(self) -> dict[str, bytes]:
        """Name and content of each."""
        return {"lathe.toml": self.lathe, "wants.toml": self.wants, "offers.csv": self.offers}


def lathes() -> list[str]:
    """Those to begin with: little, everything, a bundled one."""
    bundled = lathe_file("mini-7-inch")
    assert bundled is not None
    return [LEAST + ARM, LEAST + SHOP, EVERY_KEY, bundled.read_text(encoding="utf-8")]


def mutant(seed: int) -> Mutant:
    """The mutant of this seed."""
    rng = random.Random(seed)
    good = Mutant(rng.choice(lathes()).encode(), WANTS.encode(), OFFERS.encode(), "")
    changed = rng.choice(["lathe", "lathe", "lathe", "wants", "wants", "offers"])
    text = {"lathe": good.lathe, "wants": good.wants, "offers": good.offers}[changed]
    for _ in range(rng.choice([1, 1, 1, 2, 5])):
        text = rng.choices(WAYS, WEIGHTS)[0](text, rng)
    return replace(good, **{changed: text}, changed=changed)


def _value(text: bytes, rng: random.Random) -> bytes:
    """Another value behind a key, or in a cell."""
    lines = text.splitlines()
    places = [i for i, line in enumerate(lines) if b"=" in line or b"," in line]
    if not places:
        return text
    at = rng.choice(places)
    if b"=" in lines[at]:
        key = lines[at].partition(b"=")[0]
        lines[at] = key + b"= " + rng.choice(VALUES).encode()
    else:
        cells = lines[at].split(b",")
        cells[rng.randrange(len(cells))] = rng.choice(VALUES).strip('"').encode()
        lines[at] = b",".join(cells)
    return b"\n".join(lines) + b"\n"


def _number(text: bytes, rng: random.Random) -> bytes:
    """Another number for one of those there are."""
    found = list(re.finditer(rb"(?<![\w.])\d+(?:\.\d+)?", text))
    if not found:
        return text
    one = rng.choice(found)
    return text[: one.start()] + rng.choice(NUMBERS).encode() + text[one.end() :]


def _line(text: bytes, rng: random.Random) -> bytes:
    """A line dropped, doubled, moved or cut short."""
    lines = text.splitlines() or [b""]
    at = rng.randrange(len(lines))
    kind = rng.randrange(4)
    if kind == 0:
        del lines[at]
    elif kind == 1:
        lines.insert(rng.randrange(len(lines)), lines[at])
    elif kind == 2:
        lines.insert(rng.randrange(len(lines)), lines.pop(at))
    else:
        lines[at] = lines[at][: rng.randrange(len(lines[at]) + 1)]
    return b"\n".join(lines) + b"\n"


def _key(text: bytes, rng: random.Random) -> bytes:
    """A key misspelt, or another's."""
    keys = list(re.finditer(rb"(?m)^(\w+) *(?==)", text))
    if not keys:
        return text.replace(b"teeth", b"tooth", 1)
    one = rng.choice(keys)
    other = rng.choice(keys)[1] if rng.random() < 0.5 else one[1][1:] + b"\xc3\xa9"
    return text[: one.start()] + other + text[one.end(1) :]


def _bytes(text: bytes, rng: random.Random) -> bytes:
    """Bytes changed, put in or taken out."""
    at = rng.randrange(len(text) + 1)
    gone = rng.choice([0, 0, 1, 5, 200])
    return text[:at] + rng.choice([b"", *BYTES]) + text[at + gone :]


def _whole(text: bytes, rng: random.Random) -> bytes:
    """The whole file in another encoding, with other line ends, empty, thrice."""
    plain = text.decode("utf-8", "replace")
    return rng.choice(
        [
            plain.encode("utf-16"), plain.encode("utf-8-sig"), plain.encode("cp1252", "replace"),
            text.replace(b"\n", b"\r\n"), text.replace(b"\n", b"\r"), text.replace(b",", b";"),
            text.replace(b" ", b"\t"), text.replace(b'"', b"'"), b"", b"\n", bytes(1000),
            text * 3,
        ]
    )  # fmt: skip


def _much(text: bytes, rng: random.Random) -> bytes:
    """Too much of something."""
    count = rng.choice([300, 3000])
    return rng.choice(
        [
            lambda: text + b"x = = 1\n" * count,
            lambda: text + b"".join(b"k%d = 1\n" % i for i in range(count)),
            lambda: text + b"[t]\na = " + b"[" * count + b"]" * count,
            lambda: text.replace(b"1", b"1" * count, 1),
            lambda: text.replace(b'"', b'"' + b"y" * count, 1),
            lambda: text.replace(b"20,", b"20," * count, 1),
            lambda: text + b'[[want]]\npitch = "Q"\n' * count,
            lambda: text + b"63,1,buy,,,z\n" * count,
        ]
    )()  # fmt: skip


WAYS: list[Callable[[bytes, random.Random], bytes]] = [
    _value, _number, _line, _key, _bytes, _whole, _much,
]  # fmt: skip
WEIGHTS = [30, 25, 15, 10, 10, 4, 2]
