"""How long search and provers take on the benchmark lathes. Nothing is asserted of speed.

    pytest tests/benchmarks --benchmark-only --benchmark-columns=min,median,rounds

Whole processes start `python -m gearchest.cli.main`, reading files and writing the report
included. Provers are measured on the same options; SciPy's HiGHS solves the same coverage
model as the constraint solver, so their ratio can be read from one run.
"""

from __future__ import annotations

import subprocess
import sys
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.plan import constraint
from gearchest.optimizer.plan.demand import SolverLimits
from gearchest.optimizer.plan.formulate import Terms, formulate
from gearchest.optimizer.plan.masks import Enumeration
from gearchest.optimizer.plan.model import GearModel
from gearchest.optimizer.plan.problem import Problem
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.worth import worth
from gearchest.optimizer.search.search import find_options

FOLDER = Path(__file__).parents[1] / "bench"
STEPS = {"small": 3, "medium": 4, "boxed": 3, "large": 3}
SECONDS = 60.0
"""No solver is given longer than this for a step."""


@cache
def problem(name: str) -> Problem:
    folder = FOLDER / name
    lathe = load_lathe(folder / "lathe.toml")
    wants = load_wants(folder / "wants.csv", lathe)
    offers = load_offers(folder / "offers.csv", lathe)
    candidates = [(offer.gear, offer.copies) for offer in offers]
    table = find_options(lathe, wants, candidates, STEPS[name])
    return formulate(wants, table, offers, Terms())


@pytest.mark.parametrize("name", STEPS)
def test_whole_process(benchmark: BenchmarkFixture, name: str, tmp_path: Path) -> None:
    folder = FOLDER / name
    command = [
        *(sys.executable, "-m", "gearchest.cli.main", "plan", str(folder / "lathe.toml")),
        *("--wants", str(folder / "wants.csv"), "--offers", str(folder / "offers.csv")),
        *(
            "--most",
            str(STEPS[name]),
            "--no-charts",
            "--no-what-if",
            "--out",
            str(tmp_path / "plan.html"),
        ),
    ]

    def run() -> None:
        subprocess.run(command, check=True, capture_output=True)

    benchmark.pedantic(run, rounds=1 if name == "large" else 3)


@pytest.mark.parametrize("name", STEPS)
def test_looking_at_every_set(benchmark: BenchmarkFixture, name: str) -> None:
    one = problem(name)

    def steps() -> list[bool]:
        every = Enumeration(one)
        found = [every.step(most, Watch()) for most in range(STEPS[name] + 1)]
        return [step is not None and step.proven for step in found]

    assert all(benchmark(steps))


@pytest.mark.parametrize("name", ["small", "medium", "boxed"])
@pytest.mark.parametrize("most", [1, 2, 3])
def test_constraint_solver_coverage(benchmark: BenchmarkFixture, name: str, most: int) -> None:
    one = problem(name)
    found = benchmark.pedantic(lambda: _constraint(one, most), rounds=1)
    benchmark.extra_info["weight"] = found
    benchmark.extra_info["options"] = len(one.options.want)


@pytest.mark.parametrize("name", ["small", "medium", "boxed"])
@pytest.mark.parametrize("most", [1, 2])
def test_highs_coverage(benchmark: BenchmarkFixture, name: str, most: int) -> None:
    one = problem(name)
    found = benchmark.pedantic(lambda: _highs(one, most), rounds=1)
    benchmark.extra_info["weight"] = found


def _constraint(one: Problem, most: int) -> tuple[int, str]:
    """Covered weight from the coverage model alone, and how far it is proven."""
    from ortools.sat.python import cp_model

    model = GearModel(one, most, trains=False)
    model.model.maximize(model.weight)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = SECONDS
    status = solver.solve(model.model)
    return round(solver.objective_value), solver.status_name(status)


def _highs(one: Problem, most: int) -> tuple[int, str]:
    """The same question written down anew for SciPy: gears x, sets z <= x, wants y <= sum z."""
    options = one.options
    rows = np.flatnonzero(options.size <= most)
    sets = {tuple(sorted(m)) for m in _missing(one, rows)}
    gears = [(c, j) for c, prices in enumerate(one.prices) for j in range(len(prices))]
    wants = sorted(set(options.want[rows].tolist()))
    things = [*gears, *sorted(sets), *wants]
    column = {("gear", g): i for i, g in enumerate(gears)}
    column |= {("set", s): len(gears) + i for i, s in enumerate(sorted(sets))}
    column |= {("want", w): len(gears) + len(sets) + i for i, w in enumerate(wants)}
    upper: list[dict[int, float]] = [{column["gear", g]: 1.0 for g in gears}]
    limit = [float(most)]
    for c, j in gears:
        if j:
            upper.append({column["gear", (c, j)]: 1.0, column["gear", (c, j - 1)]: -1.0})
    for held in sorted(sets):
        for c in set(held):
            gear = column["gear", (c, held.count(c) - 1)]
            upper.append({column["set", held]: 1.0, gear: -1.0})
    covering: dict[int, dict[int, float]] = {w: {column["want", w]: 1.0} for w in wants}
    for want, missing in zip(options.want[rows].tolist(), _missing(one, rows), strict=True):
        covering[want][column["set", missing]] = -1.0
    upper += covering.values()
    limit += [0.0] * (len(upper) - 1)
    entries = [(r, c, v) for r, row in enumerate(upper) for c, v in row.items()]
    at, to, values = zip(*entries, strict=True)
    matrix = csr_array((values, (at, to)), shape=(len(upper), len(things)))
    cost = np.zeros(len(things))
    for want in wants:
        cost[column["want", want]] = -float(one.weights[want])
    result = milp(
        cost,
        constraints=LinearConstraint(matrix, -np.inf, limit),
        bounds=Bounds(0, 1),
        integrality=np.ones(len(things)),
        options={"time_limit": SECONDS},
    )
    weight = 0 if result.x is None else round(-result.fun)
    return weight, "OPTIMAL" if result.status == 0 else "FEASIBLE"


def _missing(one: Problem, rows: np.ndarray) -> list[tuple[int, ...]]:
    return [tuple(c for c in row if c >= 0) for row in one.options.missing[rows].tolist()]


@pytest.mark.parametrize("most", [1, 2, 3])
def test_the_solvers_agree(most: int) -> None:
    """Cheap enough to run always: all three find the same covered weight on `small`."""
    one = problem("small")
    every = Enumeration(one).step(most, Watch())
    found = constraint.best_set(one, most, None, Watch(), SolverLimits(seconds=SECONDS))
    assert every is not None
    assert found is not None
    weight = worth(one, every.chosen).weight
    assert every.chosen == found.chosen
    assert _highs(one, most) == (weight, "OPTIMAL")
    assert _constraint(one, most) == (weight, "OPTIMAL")
