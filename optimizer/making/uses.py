"""Which threads a new gear would be used for on its lathe."""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.reach import Bench


def uses(lathe: Lathe, gear: Gear, wants: Sequence[Want]) -> tuple[tuple[str, Train], ...]:
    """(name, train) for every want that the gear unlocks: covered with it, not without.

    The train is the one to set up, with the least tooth load.
    """
    before, after = Bench(lathe), Bench(lathe, (gear,))
    found: list[tuple[str, Train]] = []
    for want in wants:
        step = after.settle(want)
        if step.answer is None or not step.verdict.covered or gear not in step.answer.train.gears:
            continue
        if not before.settle(want).verdict.covered:
            found.append((want.name, step.answer.train))
    return tuple(found)
