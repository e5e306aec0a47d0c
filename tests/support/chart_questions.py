"""Small questions of a chart, and what they come to by trying every choice in every order.

Nothing of the chart is used but plain data.
"""

from __future__ import annotations

import random
from itertools import pairwise, permutations, product

import numpy as np
from hypothesis import strategies as st

from gearchest.optimizer.chart.question import EMPTY, AlikeThreads, ChartQuestion

Gears = tuple[int, ...]


@st.composite
def questions(draw: st.DrawFn, most_threads: int = 4, most_setups: int = 7) -> ChartQuestion:
    """Setups over three or four places, some of them empty; threads that share some."""
    places = draw(st.integers(3, 4))
    gear = st.sampled_from([EMPTY, 0, 0, 1, 1, 2])
    hung = st.tuples(*[gear] * places).filter(lambda gears: any(g != EMPTY for g in gears))
    setups = sorted(draw(st.sets(hung, min_size=1, max_size=most_setups)))
    back = draw(st.booleans())
    start = draw(hung) if back else (EMPTY,) * places
    threads = []
    for _ in range(draw(st.integers(1, most_threads))):
        some = st.lists(st.sampled_from(range(len(setups))), min_size=1, max_size=5, unique=True)
        served = sorted(draw(some))
        demerits = [draw(st.integers(0, 4)) for _ in served]
        threads.append(
            AlikeThreads(np.array(served), np.array(demerits), draw(st.sampled_from([1, 1, 3])))
        )
    gears = np.array(setups, dtype=np.int16)
    return ChartQuestion(gears, np.array(start, dtype=np.int16), back, tuple(threads))


def changed(before: Gears, after: Gears) -> int:
    """Gears put on, place by place."""
    pairs = zip(before, after, strict=True)
    return sum(1 for old, new in pairs if new != EMPTY and new != old)


def by_hand(question: ChartQuestion, order: tuple[int, ...] | list[int]) -> int:
    """Gears put on along an order."""
    start = tuple(question.start.tolist())
    states = [start, *(tuple(question.gears[k].tolist()) for k in order)]
    if question.back and order:
        states.append(start)
    return sum(changed(before, after) for before, after in pairwise(states))


def exhaustive(question: ChartQuestion) -> tuple[int, int]:
    """The fewest gears put on, of equals the fewest demerits."""
    best = (1 << 30, 0)
    for choice in product(*(zip(t.setups.tolist(), t.demerits.tolist(), strict=True)
                            for t in question.threads)):  # fmt: skip
        cost = sum(d * t.count for (_, d), t in zip(choice, question.threads, strict=True))
        for order in permutations({setup for setup, _ in choice}):
            best = min(best, (by_hand(question, order), cost))
    return best


def by_lot(seed: int) -> ChartQuestion:
    """Up to nine setups over four places and six threads, the same on every machine."""
    draw = random.Random(seed)

    def hung() -> Gears:
        return tuple(draw.choice([EMPTY, 0, 0, 1, 1, 2]) for _ in range(4))

    some = {one for one in (hung() for _ in range(9)) if any(gear != EMPTY for gear in one)}
    back = draw.random() < 0.5
    start = np.array(hung() if back else (EMPTY,) * 4, dtype=np.int16)
    threads = []
    for _ in range(6):
        served = sorted(draw.sample(range(len(some)), draw.randint(1, 3)))
        demerits = [draw.randint(0, 4) for _ in served]
        threads.append(AlikeThreads(np.array(served), np.array(demerits)))
    return ChartQuestion(np.array(sorted(some), dtype=np.int16), start, back, tuple(threads))
