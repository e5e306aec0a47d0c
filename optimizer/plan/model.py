"""The constraint model: which gears, which sets they complete, which options the wants use.

One place per constraint. `have[c][j]` says that at least j + 1 copies of candidate c are
added; `holds[T]` that all gears of the missing-set T are; `covered[w]`; and, where trains are
to be told apart, `uses[i]` that the want of option row i is cut by that option.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Sequence
from itertools import combinations, pairwise

import numpy as np
from ortools.sat.python import cp_model

from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.problem import Chosen, Problem
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.worth import worth

Literal = cp_model.IntVar
Linear = cp_model.LinearExprT

_AT_ONCE = 1024
"""Missing-sets between two looks at the watch."""


class GearModel:
    """The model of one step. With `trains` False it knows coverage alone, over the smallest
    missing-sets of each want, which is far smaller; with True it knows the aims that count
    trains too. Making it raises `StoppedError` where `watch` stops it."""

    def __init__(
        self, problem: Problem, most: int, *, trains: bool, watch: Watch | None = None
    ) -> None:
        self.problem = problem
        self._watch = watch or Watch()
        self.most = most
        self.model = cp_model.CpModel()
        self._sets_by_row = _sets(problem, most)
        self._watch.check()
        self._rows_by_want = _rows_by_want(
            problem, self._sets_by_row, self._watch, smallest=not trains
        )
        self.have = self._copies_in_order()
        self._at_most()
        self._within_budget()
        self._hold_included()
        self.holds = self._sets_need_gears()
        self.covered, self.uses = self._use_one_option() if trains else self._cover_by_some_set()
        self._need_some_gears()

    # constraints

    def _copies_in_order(self) -> list[list[Literal]]:
        """Only copies that can be had; a second copy comes after the first."""
        have = []
        for c, prices in enumerate(self.problem.prices):
            copies = [self.model.new_bool_var(f"have_{c}_{j}") for j in range(len(prices))]
            for first, second in pairwise(copies):
                self.model.add_implication(second, first)
            have.append(copies)
        return have

    def _at_most(self) -> None:
        self.model.add(self.count <= self.most)

    def _within_budget(self) -> None:
        if self.problem.budget is not None:
            self.model.add(self.money <= self.problem.budget)

    def _hold_included(self) -> None:
        """All gears to include, or as many of them as the step has room for."""
        include = Counter(self.problem.include)
        inside = [literal for c, n in include.items() for literal in self.have[c][:n]]
        if inside:
            self.model.add(sum(inside) >= min(self.most, len(inside)))

    def _sets_need_gears(self) -> dict[Chosen, Literal]:
        """A missing-set is held only with all of its gears, each as often as it is missing."""
        wanted = {self._sets_by_row[i] for rows in self._rows_by_want for i in rows}
        holds: dict[Chosen, Literal] = {}
        for number, missing in enumerate(sorted(wanted)):
            if number % _AT_ONCE == 0:
                self._watch.check()
            gears = [self.have[c][n - 1] for c, n in sorted(Counter(missing).items())]
            if len(gears) == 1:
                holds[missing] = gears[0]
            elif gears:
                holds[missing] = self.model.new_bool_var(f"holds_{missing}")
                for gear in gears:
                    self.model.add_implication(holds[missing], gear)
            else:
                holds[missing] = self.model.new_constant(1)
        return holds

    def _cover_by_some_set(self) -> tuple[dict[int, Literal], dict[int, Literal]]:
        """A want is covered only where one of its missing-sets is held."""
        covered = {}
        for want, rows in enumerate(self._rows_by_want):
            if rows:
                covered[want] = self.model.new_bool_var(f"covered_{want}")
                held = [self.holds[self._sets_by_row[i]] for i in rows]
                self.model.add_bool_or([*held, covered[want].negated()])
        return covered, {}

    def _use_one_option(self) -> tuple[dict[int, Literal], dict[int, Literal]]:
        """A covered want uses exactly one option, whose missing-set is held."""
        covered, uses = {}, {}
        for want, rows in enumerate(self._rows_by_want):
            if not rows:
                continue
            self._watch.check()
            covered[want] = self.model.new_bool_var(f"covered_{want}")
            for i in rows:
                uses[i] = self.model.new_bool_var(f"uses_{i}")
                self.model.add_implication(uses[i], self.holds[self._sets_by_row[i]])
            self.model.add(sum(uses[i] for i in rows) == covered[want])
        return covered, uses

    def _need_some_gears(self) -> None:
        """A covered want needs at least as many gears as its smallest missing-set has, out of
        those that any of them has. It follows from the rest; said outright it speeds proofs."""
        for want, literal in self.covered.items():
            self._watch.check()
            missing = [self._sets_by_row[i] for i in self._rows_by_want[want]]
            fewest = min(map(len, missing))
            gears = sorted({c for held in missing for c in held})
            if fewest:
                copies = sum(copy for c in gears for copy in self.have[c])
                self.model.add(copies >= fewest).only_enforce_if(literal)

    # objectives

    @property
    def count(self) -> Linear:
        """How many gears are added."""
        return sum(copy for copies in self.have for copy in copies)

    @property
    def weight(self) -> Linear:
        """Covered weight."""
        weights = self.problem.weights
        return sum(int(weights[want]) * literal for want, literal in self.covered.items())

    @property
    def money(self) -> Linear:
        """Price of the gears."""
        return self.aim(Aim.MONEY)

    def aim(self, aim: Aim) -> Linear:
        """The total by an aim; by one that counts trains only where the model knows trains."""
        if aim in self.problem.copy_costs:
            # Copies come in order, so each has a cost of its own.
            return sum(
                cost * copy
                for costs, copies in zip(self.problem.copy_costs[aim], self.have, strict=True)
                for cost, copy in zip(costs, copies, strict=True)
            )
        options, weights = self.problem.options, self.problem.weights
        cost = options.cost(aim)
        return sum(
            int(weights[options.want[i]] * cost[i]) * literal for i, literal in self.uses.items()
        )

    def numbers(self, literals_a_stage: int = 40) -> list[Linear]:
        """Least one after the other, these give the set of smaller numbers.

        Among sets of one size the smaller tuple is the one whose row of literals, gear by
        gear and copy by copy, is the larger binary number; it is cut to fit 64 bits.
        """
        bits = [copy for copies in self.have for copy in copies]
        parts = [bits[i : i + literals_a_stage] for i in range(0, len(bits), literals_a_stage)]
        return [
            sum(-(1 << (len(part) - 1 - i)) * bit for i, bit in enumerate(part)) for part in parts
        ]

    # further conditions

    def cover_all(self, wants: Collection[int]) -> None:
        """Every one of these wants must be covered."""
        for want in wants:
            self.model.add(self.covered[want] == 1 if want in self.covered else False)

    def cover_weight(self, least: int) -> None:
        """Wants of so much weight in all must be covered."""
        self.model.add(self.weight >= least)

    def have_exactly(self, size: int) -> None:
        """So many gears, no fewer."""
        self.model.add(self.count == size)

    def exclude(self, chosen: Chosen) -> None:
        """Forbid one set of gears."""
        counts = Counter(chosen)
        differs = []
        for c, copies in enumerate(self.have):
            n = counts[c]
            differs += [copies[n - 1].negated()] if n else []
            differs += [copies[n]] if n < len(copies) else []
        self.model.add_bool_or(differs)

    # solutions

    def hint(self, chosen: Chosen) -> None:
        """Start from a set of gears."""
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        counts = Counter(chosen)
        for c, copies in enumerate(self.have):
            for j, copy in enumerate(copies):
                self.model.add_hint(copy, counts[c] > j)
        for missing, literal in self.holds.items():
            if len(set(missing)) > 1:
                self.model.add_hint(literal, Counter(missing) <= counts)
        used = {int(self.problem.options.want[i]): int(i) for i in self._used(chosen)}
        for want, literal in self.covered.items():
            self.model.add_hint(literal, want in used)
        for i, literal in self.uses.items():
            self.model.add_hint(literal, used.get(int(self.problem.options.want[i])) == i)

    def _used(self, chosen: Chosen) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
        return worth(self.problem, chosen).used

    def chosen(self, solver: cp_model.CpSolver) -> Chosen:
        """The set of gears of a solution."""
        return tuple(
            c for c, copies in enumerate(self.have) for copy in copies if solver.boolean_value(copy)
        )


def _sets(problem: Problem, most: int) -> dict[int, Chosen]:
    """The missing-set of each option row that at most `most` gears can hold."""
    rows = np.flatnonzero(problem.options.size <= most)
    return {
        int(i): tuple(c for c in missing if c >= 0)
        for i, missing in zip(rows, problem.options.missing[rows].tolist(), strict=True)
    }


def _rows_by_want(
    problem: Problem, sets: dict[int, Chosen], watch: Watch, *, smallest: bool
) -> Sequence[Sequence[int]]:
    """For each want its option rows, cut down to smallest missing-sets where asked."""
    by_want: dict[int, list[int]] = defaultdict(list)
    for i in sets:
        by_want[int(problem.options.want[i])].append(i)
    wants = range(len(problem.weights))
    if not smallest:
        return [by_want[want] for want in wants]
    rows = []
    for want in wants:
        watch.check()
        rows.append(_smallest(by_want[want], sets))
    return rows


def _smallest(rows: Sequence[int], sets: dict[int, Chosen]) -> list[int]:
    """Rows of which no other row's missing-set is part; of equal ones the first."""
    kept: dict[Chosen, int] = {}
    for i in sorted(rows, key=lambda i: (len(sets[i]), sets[i])):
        missing = sets[i]
        parts = (part for n in range(len(missing) + 1) for part in combinations(missing, n))
        if not any(part in kept for part in parts):
            kept[missing] = i
    return list(kept.values())
