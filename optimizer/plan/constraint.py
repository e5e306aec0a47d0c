"""Prove one step with the constraint solver: objective after objective, each held at its best
before the next."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from ortools.sat.python import cp_model

from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.best_set import CONSTRAINT, BestSet, Total
from gearchest.optimizer.plan.demand import Demand, SolverLimits
from gearchest.optimizer.plan.model import GearModel, Linear
from gearchest.optimizer.plan.problem import COUNT, NUMBERS, WEIGHT, Chosen, Problem
from gearchest.optimizer.plan.running import run
from gearchest.optimizer.plan.watch import Progress, StoppedError, Watch
from gearchest.optimizer.plan.worth import Rank, rank, worth


def best_set(
    problem: Problem,
    most: int,
    start: Chosen | None,
    watch: Watch,
    limits: SolverLimits = SolverLimits(),
    demand: Demand = Demand(),
) -> BestSet | None:
    """The best set of at most `most` gears.

    `start` is a set that keeps the terms and meets the demand, if one is known. None where
    there is no such set, or none was found before the watch stopped the search.
    """
    return _Solve(problem, most, start, watch, limits, demand).best()


def cheapest_set(
    problem: Problem,
    start: Chosen | None,
    watch: Watch,
    limits: SolverLimits = SolverLimits(),
    demand: Demand = Demand(),
) -> BestSet | None:
    """The set of any size that meets the demand for least money; ties go to the most covered
    weight, then to the aims. None only where there is no such set: raises `StoppedError` where
    none was found in time. Otherwise as `best_set`."""
    most = sum(len(prices) for prices in problem.prices)
    solve = _Solve(problem, most, start, watch, limits, demand)
    found = solve.cheapest()
    if found is None and not solve.impossible:
        raise StoppedError
    return found


class _Solve:
    def __init__(
        self,
        problem: Problem,
        most: int,
        start: Chosen | None,
        watch: Watch,
        limits: SolverLimits,
        demand: Demand,
    ) -> None:
        self.problem = problem
        self.most = most
        self.watch = watch
        self.limits = limits
        self.demand = demand
        self.best_so_far = start
        self.totals: list[Total] = []
        self.money_first = False
        self.stopped = False
        self.impossible = False
        self.until = None if limits.seconds is None else watch.seconds + limits.seconds

    def best(self) -> BestSet | None:
        """Weight on the small model; then the rest on the one that knows trains."""
        return self._until_stopped(self._best)

    def _best(self) -> None:
        coverage = self._model(trains=False)
        weight = self._least(coverage, WEIGHT, -coverage.weight)
        if weight is not None:
            self._settle(weight, self.problem.aims)

    def cheapest(self) -> BestSet | None:
        """Money and then weight on the small model; then the rest."""
        self.money_first = True
        return self._until_stopped(self._cheapest)

    def _cheapest(self) -> None:
        coverage = self._model(trains=False)
        money: int | None = self.demand.money
        if self.best_so_far is None or self._value(Aim.MONEY) > self.demand.money:
            if self.best_so_far is not None:
                coverage.model.add(coverage.money <= self._value(Aim.MONEY))
            money = self._least(coverage, Aim.MONEY, coverage.money)
        else:
            self.totals.append(Total(Aim.MONEY, self.demand.money, self.demand.money, True))
        if money is not None:
            coverage.model.add(coverage.money == money)
            weight = self._most_weight(coverage)
            if weight is not None:
                rest = [aim for aim in self.problem.aims if aim is not Aim.MONEY]
                self._settle(weight, rest, money)

    def _until_stopped(self, solve: Callable[[], None]) -> BestSet | None:
        """What a solve finds, in full or until it is stopped, were it while a model is made."""
        try:
            solve()
        except StoppedError:
            self.stopped = True
        return self._found()

    def _most_weight(self, coverage: GearModel) -> int | None:
        """The weight to cover, negative; nothing is to be found out where all that can be
        covered is demanded."""
        reachable = set(np.unique(self.problem.options.want).tolist())
        every = int(self.problem.weights[sorted(reachable)].sum())
        if self.best_so_far is not None and self._value(WEIGHT) == every:
            self.totals.append(Total(WEIGHT, every, every, True))
            return -every
        return self._least(coverage, WEIGHT, -coverage.weight)

    def _settle(self, weight: int, aims: Sequence[Aim], money: int | None = None) -> None:
        """The aims, and then the ties, at the weight and money already proven best."""
        trains = self._model(trains=True)
        trains.model.add(-trains.weight == weight)
        if money is not None:
            trains.model.add(trains.money == money)
        objectives = [(str(aim), trains.aim(aim)) for aim in aims]
        objectives.append((COUNT, trains.count))
        objectives += [(NUMBERS, numbers) for numbers in trains.numbers()]
        for name, total in objectives:
            value = self._least(trains, name, total)
            if value is None:
                break
            trains.model.add(total == value)

    def _found(self) -> BestSet | None:
        if self.best_so_far is None:
            return None
        return BestSet(self.best_so_far, tuple(self.totals), CONSTRAINT, self._stopped_by())

    def _model(self, *, trains: bool) -> GearModel:
        model = GearModel(self.problem, self.most, trains=trains, watch=self.watch)
        model.cover_weight(self.demand.weight)
        model.cover_all(self.demand.wants)
        if self.demand.size is not None:
            model.have_exactly(self.demand.size)
        if self.demand.fewest:
            model.model.add(model.count >= self.demand.fewest)
        if self.demand.money:
            model.model.add(model.money >= self.demand.money)
        for chosen in self.demand.excluded:
            model.exclude(chosen)
        return model

    def _least(self, model: GearModel, name: str, total: Linear) -> int | None:
        """Minimise one objective from the best set so far; its value where that is proven."""
        if self.best_so_far is not None:
            model.hint(self.best_so_far)
        model.model.minimize(total)
        solver = self._solver(model, name)
        status = run(solver, model.model, self.watch)
        self.impossible = status == cp_model.INFEASIBLE
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            self._keep(model.chosen(solver))
        if self.best_so_far is None:
            return None
        proven = status == cp_model.OPTIMAL
        value = self._value(name)
        bound = value if proven else self._signed(name, round(solver.best_objective_bound))
        self.totals.append(Total(name, value, bound, proven))
        return round(solver.objective_value) if proven else None

    def _solver(self, model: GearModel, name: str) -> cp_model.CpSolver:
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = self.limits.workers
        left = [t for t in (self.watch.remaining, self._left()) if t is not None]
        if left:
            solver.parameters.max_time_in_seconds = min(left)

        def heard(bound: float) -> None:
            self._report(name, self._signed(name, round(bound)))

        solver.best_bound_callback = heard
        return solver

    def _keep(self, chosen: Chosen) -> None:
        if self.best_so_far is None or self._rank(chosen) < self._rank(self.best_so_far):
            self.best_so_far = chosen

    def _rank(self, chosen: Chosen) -> Rank:
        value = worth(self.problem, chosen)
        ranked = rank(self.problem, chosen, value)
        return (value.totals[Aim.MONEY], *ranked) if self.money_first else ranked

    def _value(self, name: str) -> int:
        """What the best set so far reaches; 0 for the order of numbers, which has no size."""
        assert self.best_so_far is not None
        value = worth(self.problem, self.best_so_far)
        if name == WEIGHT:
            return value.weight
        if name == COUNT:
            return len(self.best_so_far)
        return 0 if name == NUMBERS else value.totals[Aim(name)]

    def _signed(self, name: str, least: int) -> int:
        """A minimised total as the objective's own value."""
        if name == NUMBERS:
            return 0
        return -least if name == WEIGHT else least

    def _report(self, name: str, bound: int) -> None:
        scale = self.problem.scales[name]
        best = None if self.best_so_far is None else scale.exact(self._value(name))
        self.watch.report(
            Progress(None if self.money_first else self.most, name, best, scale.exact(bound))
        )

    def _left(self) -> float | None:
        return None if self.until is None else max(0.0, self.until - self.watch.seconds)

    def _stopped_by(self) -> str:
        if all(total.proven for total in self.totals) and not self.stopped:
            return ""
        return self.watch.why or "time limit of the step"
