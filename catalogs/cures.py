"""What to write instead of a size that no catalog has, or that could be several."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from difflib import SequenceMatcher
from fractions import Fraction

from gearchest.catalogs.pairs import Pair, pair_of
from gearchest.catalogs.spelling import Spelling
from gearchest.catalogs.thread_files import Entry
from gearchest.optimizer.domain.pitch import format_fraction
from gearchest.optimizer.domain.thread import Thread

MOST_NEAREST = 5


def nearest(text: str, spelling: Spelling, entries: Sequence[Entry]) -> tuple[str, ...]:
    """Names most like a written size: same numbers, same diameter, same words, then letters."""
    words, _, numbers = spelling.key.partition(":")
    diameter = numbers.split("x")[0]
    pair = pair_of(spelling)

    def agreement(entry: Entry) -> float:
        parts = [key.partition(":") for key in entry.spellings]
        score = 0.5 * any(diameter == its.split("x")[0] for _, _, its in parts)
        score += 0.5 * any(its == words or its in spelling.words for its, _, _ in parts)
        score += any("x" in numbers == its for _, _, its in parts)
        return score + (_closeness(pair, entry.thread) if pair else 0.0)

    def likeness(entry: Entry) -> float:
        letters = SequenceMatcher(None, text.lower(), entry.thread.name.lower()).ratio()
        return round(agreed[entry.thread.name] + letters, 1)

    agreed: dict[str, float] = {}
    for entry in entries:
        name = entry.thread.name
        agreed[name] = max(agreed.get(name, 0.0), agreement(entry))
    # letters add 1 at most, and take their time
    least = sorted(agreed.values())[-MOST_NEAREST:][0] - 1
    near = [entry for entry in entries if agreed[entry.thread.name] >= least]
    ranked = sorted(near, key=likeness, reverse=True)
    return tuple(dict.fromkeys(entry.thread.name for entry in ranked))[:MOST_NEAREST]


def _closeness(pair: Pair, thread: Thread) -> float:
    """1 where diameter and pitch agree, 0 where they are a fifth apart or more."""
    if thread.major_mm is None or thread.pitch.pi:
        return 0.0
    apart = abs(math.log(pair.major_mm / thread.major_mm))
    apart += abs(math.log(pair.thread_pitch.rational / thread.pitch.rational))
    return max(0.0, 1 - 5 * apart)


def either(names: Sequence[str]) -> str:
    """What to write where a text could be several sizes."""
    return "write " + " or ".join(f'"{name}"' for name in names)


def cure(spelling: Spelling, near: Sequence[str], known: Mapping[str, Sequence[Thread]]) -> str:
    """What to write where no catalog has the size; `known` are the threads by their keys."""
    if meant := _before_length(spelling, known):
        length = format_fraction(Fraction(spelling.numbers[-1]))
        return f'if {length} is the length of the screw, leave it out: "{meant}"'
    told = f"the nearest sizes are {', '.join(near)}"
    if pair := pair_of(spelling):
        return (
            f'{told}; if it really is another, write the pitch "{pair.pitch_written}" with the '
            f'diameter "{pair.diameter_written}" beside it'
        )
    if spelling.numbers and spelling.words and not _of_a_family(spelling, known):
        return (
            f'no series is called "{" ".join(spelling.words)}": write the pitch with its unit, '
            "and the diameter beside it"
        )
    return told


def _of_a_family(spelling: Spelling, known: Iterable[str]) -> bool:
    """Whether the words, or one of them, are those of sizes there are."""
    families = {key.partition(":")[0] for key in known}
    words = "".join(spelling.words)
    return any(words in family for family in families) or not families.isdisjoint(spelling.words)


def _before_length(spelling: Spelling, known: Mapping[str, Sequence[Thread]]) -> str:
    """The size before what may be the length of a screw (M10x50, 1/4-20 x 1 1/2); "" where
    the last number is none: no longer than half the diameter, or no size before it."""
    if len(spelling.numbers) < 2:
        return ""
    *numbers, last = spelling.numbers
    size = replace(spelling, numbers=tuple(numbers), units=spelling.units[:-1])
    try:
        long = Fraction(last) > Fraction(numbers[0].lstrip("#")) / 2
    except (ValueError, ZeroDivisionError):
        return ""
    if not (len(numbers) == 2 or (long and "m" in spelling.words)) or size.key not in known:
        return ""
    return known[size.key][0].name
