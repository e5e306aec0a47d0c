"""The cheapest cover against every set there is, whichever way it was come by."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st
from plan_instances import Instance, exhaustive, instances

from gearchest.optimizer.plan.aims import Aim
from gearchest.optimizer.plan.demand import SolverLimits
from gearchest.optimizer.plan.formulate import Terms
from gearchest.optimizer.plan.goal import Cover, cheapest_cover
from gearchest.optimizer.plan.solve import solve
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.worth import worth


@settings(max_examples=25, deadline=None)
@given(instances(candidates=4), st.booleans())
def test_what_is_known_is_not_searched_for_and_is_the_cheapest(
    instance: Instance, alike: bool
) -> None:
    """Of gears at one price a step proves the cheapest cover."""
    offers = [replace(o, price=Fraction(1)) if alike else o for o in instance.offers]
    terms = Terms(aims=instance.terms.aims)
    problem = replace(instance, offers=offers, terms=terms).problem()
    every = sum(map(len, problem.prices))
    wanted = frozenset(range(len(instance.weights)))
    steps = solve(problem, 2, Watch())
    reached = cheapest_cover(problem, Cover("all", wanted), steps, Watch(), SolverLimits(1))
    assert reached is not None
    found = reached.found
    reachable = set(problem.options.want.tolist())
    covered = set(problem.options.want[worth(problem, found.chosen).used].tolist())
    assert covered == reachable
    cheapest = min(
        judged.totals[Aim.MONEY]
        for judged in exhaustive(replace(instance, offers=offers, terms=terms), min(every, 6))
        if judged.weight == sum(instance.weights[want] for want in reachable)
    )
    assert problem.scales[Aim.MONEY].exact(problem.price(found.chosen)) == cheapest
    if alike and worth(problem, steps[-1].chosen).weight == worth(problem, found.chosen).weight:
        assert found in steps
