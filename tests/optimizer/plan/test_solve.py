"""Plan steps against plain exhaustive search over every set of gears."""

from __future__ import annotations

from gearchest.optimizer.plan import constraint
from gearchest.optimizer.plan.problem import worth
from gearchest.optimizer.plan.watch import Watch
from hypothesis import given, settings
from plan_instances import Instance, exhaustive, instances


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
