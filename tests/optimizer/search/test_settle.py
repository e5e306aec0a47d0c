"""One want with several sets of gears: the same as each set asked on its own, and as `reach`."""

from __future__ import annotations

from drawn import MAKING, lathes, wants
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.search.reach import Bench
from gearchest.optimizer.search.settle import Settler

SETS = st.lists(st.lists(st.sampled_from([18, 25, 25, 30, 37, 40, 50, 60]), max_size=3),
                min_size=2, max_size=5)  # fmt: skip


@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(lathes(measured=st.just(True)), st.data(), SETS)
def test_sets_in_turn_come_to_what_each_comes_to_alone(
    lathe: Lathe, data: st.DataObject, teeth: list[list[int]]
) -> None:
    wanted = data.draw(wants(lathe))
    sets = [tuple(MAKING.gear(z) for z in some) for some in [[], *teeth]]
    for added, found in zip(sets, Settler(lathe, sets).settle(wanted), strict=True):
        alone = Bench(lathe, added).reach(wanted, most=None)
        event(found.verdict)
        assert found.verdict is alone.verdict
        if not found.verdict.covered:
            assert found.answer == (alone.misfit or alone.closest)
            continue
        assert found.answer == alone.best
        exact = [one for one in alone.trains if one.error == 0]
        due = exact[0] if exact and alone.best and alone.best.error else None
        assert found.without_error == due
