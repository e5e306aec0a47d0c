"""What is known of wants that there was no time to settle: the option the plan chose for each."""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.problem import Chosen, Problem
from gearchest.optimizer.plan.served import Served
from gearchest.optimizer.plan.worth import worth
from gearchest.optimizer.search.answers import answer
from gearchest.optimizer.search.result import Verdict, WantStep

MOST_PLACED = 500
"""Trains placed and judged: half a second. The rest are not told of."""

UNSETTLED = "not all threads were looked at"
"""What leaves a step unproven whose threads are not all told of."""

_NOT_LOOKED = WantStep(Verdict.NOT_LOOKED, None, settled=False)


def unsettled(
    served: Served,
    wants: Sequence[Want],
    problem: Problem,
    numbers: Sequence[int],
    sets: Sequence[Chosen],
) -> list[tuple[WantStep, ...]]:
    """Of the wants of some numbers the states with each set of gears: the train of the option
    that the set uses, and not looked at where it has none."""
    made: dict[int, WantStep] = {}
    rows = [[_NOT_LOOKED] * len(sets) for _ in numbers]
    place = {number: at for at, number in enumerate(numbers)}
    owned = owned_gears(served.lathes[0])
    for column, chosen in enumerate(sets):
        for row in worth(problem, chosen).used.tolist():
            want = int(problem.options.want[row])
            if want not in place:
                continue
            if row not in made and len(made) < MOST_PLACED:
                option = int(problem.options.index[row])
                lathe = served.lathe(want, option)
                train = problem.table.wants[want].train(option)
                found = answer(lathe, wants[want], train, owned)
                name = lathe.name if len(served.lathes) > 1 else ""
                made[row] = WantStep(found.verdict, found, name, settled=False)
            rows[place[want]][column] = made.get(row, _NOT_LOOKED)
    return [tuple(row) for row in rows]
