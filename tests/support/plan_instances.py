"""Small plan instances, and the plain exhaustive search they are held against.

Nothing here uses the code under test but for its data: the search tries every set of gears,
in fractions.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cache, cached_property
from itertools import combinations_with_replacement

import numpy as np
from hypothesis import strategies as st

from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan.aims import USUAL, Aim
from gearchest.optimizer.plan.formulate import Terms, formulate
from gearchest.optimizer.plan.problem import Problem
from gearchest.optimizer.search.options import OptionTable, WantOptions

Option = tuple[tuple[int, ...], int, int]  # missing, demerits, error


def load(option: Option) -> int:
    """A tooth load of its own for each option: neither order's."""
    return (5 * option[1] + 3 * option[2]) % 7


def no_train(_: int) -> Train:
    raise AssertionError("these options have no trains")


def want_options(options: Sequence[Option]) -> WantOptions:
    width = max((len(missing) for missing, _, _ in options), default=0)
    padded = [[*missing, *[-1] * (width - len(missing))] for missing, _, _ in options]
    return WantOptions(
        np.array(padded, dtype=np.int16).reshape(len(options), width),
        np.array([(o[1], load(o), o[2]) for o in options], dtype=np.int64).reshape(-1, 3),
        no_train,
    )


@dataclass(frozen=True)
class Instance:
    """Options by want over candidates 0..n-1 (gears of 20, 21, ... teeth)."""

    options: Sequence[Sequence[Option]]
    weights: Sequence[Fraction]
    offers: Sequence[Offer]
    terms: Terms = field(default_factory=Terms)
    candidates: int = 5

    @cached_property
    def judged(self) -> dict[tuple[int, ...], Judgement | None]:
        """Sets judged so far: every size looks at the smaller sets again."""
        return {}

    @property
    def wants(self) -> list[Want]:
        return [
            Want(f"want {i}", mm(1), Allowance(Fraction(1, 1000)), weight)
            for i, weight in enumerate(self.weights)
        ]

    @property
    def table(self) -> OptionTable:
        gears = tuple(gear(c) for c in range(self.candidates))
        return OptionTable(gears, tuple(want_options(options) for options in self.options), 4)

    def problem(self) -> Problem:
        return formulate(self.wants, self.table, self.offers, self.terms)


@cache
def gear(candidate: int) -> Gear:
    return Gear(20 + candidate, Fraction(1))


@dataclass(frozen=True, order=True)
class Judgement:
    """A set and what it is worth, in the order of `key`."""

    key: tuple[object, ...]
    chosen: tuple[int, ...]
    weight: Fraction
    totals: dict[Aim, Fraction] = field(compare=False)


OF_TRAINS: dict[Aim, Callable[[Option], int]] = {
    Aim.DEMERITS: lambda option: option[1],
    Aim.LOAD: load,
    Aim.ERROR: lambda option: option[2],
}
"""What an aim makes of the option a want uses."""

OF_GEARS: dict[Aim, Callable[[Instance, tuple[int, ...]], Fraction | None]] = {
    Aim.MONEY: lambda instance, chosen: _money(instance, chosen),
}
"""What an aim makes of a set of gears."""


def judge(instance: Instance, chosen: tuple[int, ...]) -> Judgement | None:
    """What a set is worth; None where its gears cannot be had for the budget."""
    if chosen not in instance.judged:
        instance.judged[chosen] = _judge(instance, chosen)
    return instance.judged[chosen]


def _judge(instance: Instance, chosen: tuple[int, ...]) -> Judgement | None:
    money = _money(instance, chosen)
    budget = instance.terms.budget
    if money is None or (budget is not None and money > budget):
        return None
    train_aims = [aim for aim in instance.terms.aims if aim in OF_TRAINS]
    totals = {aim: OF_GEARS[aim](instance, chosen) or Fraction(0) for aim in OF_GEARS}
    totals |= dict.fromkeys(OF_TRAINS, Fraction(0))
    weight = Fraction(0)
    for options, want_weight in zip(instance.options, instance.weights, strict=True):
        held = [o for o in options if all(o[0].count(c) <= chosen.count(c) for c in o[0])]
        if held:
            best = min(held, key=lambda option: [OF_TRAINS[aim](option) for aim in train_aims])
            weight += want_weight
            for aim in train_aims:
                totals[aim] += want_weight * OF_TRAINS[aim](best)
    key = (-weight, *(totals[aim] for aim in instance.terms.aims), len(chosen), chosen)
    return Judgement(key, chosen, weight, totals)


def _money(instance: Instance, chosen: tuple[int, ...]) -> Fraction | None:
    money = Fraction(0)
    for c, count in Counter(chosen).items():
        if gear(c) in instance.terms.keep_out:
            return None
        copies: list[Fraction] = []
        for offer in instance.offers:
            if offer.gear == gear(c):
                copies += [offer.price] * (count if offer.copies is None else offer.copies)
        if len(copies) < count:
            return None
        money += sum(sorted(copies)[:count])
    return money


def exhaustive(instance: Instance, most: int) -> Iterator[Judgement]:
    """Every set of at most `most` gears that keeps the terms."""
    include = Counter(instance.terms.include)
    for size in range(most + 1):
        for chosen in combinations_with_replacement(range(instance.candidates), size):
            inside = Counter(gear(c) for c in chosen) & include
            if inside.total() >= min(most, include.total()):
                judged = judge(instance, chosen)
                if judged is not None:
                    yield judged


@st.composite
def instances(draw: st.DrawFn, candidates: int = 5) -> Instance:
    """Random options, weights, offers (some from two sources, some limited) and terms."""
    index = st.integers(0, candidates - 1)
    missing = st.lists(index, max_size=3).map(lambda gears: tuple(sorted(gears)))
    option = st.tuples(missing, st.integers(0, 6), st.integers(0, 6))
    options = draw(st.lists(st.lists(option, max_size=5), min_size=1, max_size=7))
    weight = st.fractions(Fraction(1, 4), 4, max_denominator=4)
    weights = draw(st.lists(weight, min_size=len(options), max_size=len(options)))
    price = st.fractions(0, 6, max_denominator=2)
    copies = st.none() | st.integers(0, 2)
    how = st.sampled_from(["buy", "cut"])
    offer = st.builds(Offer, index.map(gear), price, how, copies)
    every = [
        draw(st.builds(Offer, st.just(gear(c)), price, how, copies)) for c in range(candidates)
    ]
    offers = every + draw(st.lists(offer, max_size=2))
    aims = tuple(draw(st.permutations(draw(st.sampled_from([list(Aim), list(USUAL)])))))
    budget = draw(st.none() | st.fractions(0, 15, max_denominator=2))
    keep_out = frozenset(draw(st.lists(index.map(gear), max_size=1)))
    terms = Terms(budget, (), keep_out, aims)
    instance = Instance(options, weights, offers, terms, candidates)
    include = draw(st.lists(index, max_size=2).map(lambda gears: tuple(sorted(gears))))
    if judge(instance, include) is None:
        return instance
    return replace(instance, terms=replace(terms, include=tuple(map(gear, include))))
