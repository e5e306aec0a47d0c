"""Plan steps against plain exhaustive search over every set of gears."""

from __future__ import annotations

from collections import Counter

from hypothesis import given, settings
from plan_instances import Instance, exhaustive, instances

from gearchest.optimizer.plan import constraint
from gearchest.optimizer.plan.masks import Enumeration
from gearchest.optimizer.plan.problem import worth
from gearchest.optimizer.plan.watch import Watch


@settings(max_examples=40, deadline=None)
@given(instances())
def test_constraint_solver_finds_the_best_set_of_every_size(instance: Instance) -> None:
    problem = instance.problem()
    for most in range(4):
        best = min(exhaustive(instance, most))
        found = constraint.best_set(problem, most, None, Watch())
        assert found is not None
        assert found.proven
        assert found.chosen == best.chosen
        value = worth(problem, found.chosen)
        assert problem.weight_scale.exact(value.weight) == best.weight
        assert problem.price_scale.exact(value.money) == best.money
        assert problem.weight_scale.exact(value.load) == best.load
        assert problem.weight_scale.exact(value.error) == best.error


@settings(max_examples=150, deadline=None)
@given(instances())
def test_looking_at_every_set_finds_the_best_its_equals_and_the_next(instance: Instance) -> None:
    problem = instance.problem()
    masks = Enumeration(problem)
    for most in range(5):
        ranked = sorted(exhaustive(instance, most))
        best = ranked[0]
        found = masks.step(most, Watch())
        assert found is not None
        assert found.proven
        assert found.chosen == best.chosen
        equal = [j.chosen for j in ranked[1:] if j.weight == best.weight]
        equal = [chosen for chosen in equal if len(chosen) == len(best.chosen)]
        # copies no option asks for are never added
        useful = [
            c for c in equal if all(n <= len(problem.prices[g]) for g, n in Counter(c).items())
        ]
        assert list(found.equally_good) == useful[:5]
