"""Combinations made a few at a time, the nearest first: the same answers as all of them at once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from drawn import MAKING, TEETH, lathes, wants
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.chart.candidates import candidates as trains_shared
from gearchest.optimizer.domain.gear import Chest
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.stock import take_stock
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.search import cells, layers, ranking, search
from gearchest.optimizer.search.cells import Cells
from gearchest.optimizer.search.costs import CLOSEST, PLANNED, to_set_up
from gearchest.optimizer.search.options import OptionTable
from gearchest.optimizer.search.reach import Bench
from gearchest.optimizer.search.search import find_options
from gearchest.optimizer.search.settle import Settler
from gearchest.optimizer.search.trains import PitchWindow, TrainSearch

LARGE = Path(__file__).parents[2] / "bench" / "large"
TWO_STUDS = load_lathe(LARGE / "lathe.toml")
WANTS = load_wants(LARGE / "wants.csv", TWO_STUDS)
WIDE = [replace(want, allowance=Allowance(Fraction(1, 200))) for want in WANTS[4:110:9]]


@pytest.fixture(params=[25])
def few(request: pytest.FixtureRequest) -> Iterator[pytest.MonkeyPatch]:
    """Everything in cells and layers, of so many combinations."""
    with pytest.MonkeyPatch.context() as patch:
        parted(patch, request.param)
        yield patch


def parted(patch: pytest.MonkeyPatch, many: int) -> None:
    patch.setattr(cells, "_MANY", many)
    patch.setattr(layers, "_MANY", many)
    patch.setattr(search, "FEW", -1)


def told(table: OptionTable) -> list[set[tuple[int, ...]]]:
    """Of each want what the options lack, their demerits and errors."""
    return [
        set(map(tuple, np.column_stack([one.missing, one.costs[:, [0, 2]]]).tolist()))
        for one in table.wants
    ]


def rows(window: PitchWindow) -> list[tuple[int, ...]]:
    combos = window.combos
    whole = np.column_stack([combos.drivers, combos.driven, window.setting, window.lacks])
    return sorted(map(tuple, whole.tolist()))


@pytest.mark.parametrize("order", [PLANNED, to_set_up(), CLOSEST])
def test_cells_hold_every_combination_once_and_none_costs_less_than_its_cell(
    few: pytest.MonkeyPatch, order: tuple[str, ...]
) -> None:
    table = TrainSearch(TWO_STUDS, take_stock(TWO_STUDS))
    for want in WIDE[::5]:
        allowed = want.allowed_on(TWO_STUDS)
        costs = search.Costs(table, allowed, order)
        every = Cells.of(table, want, allowed)
        assert len(every.cells) > 20
        for stages in (1, 2, 3):
            found = [every.windows(cell)[stages] for cell in every.cells if stages in cell.stages]
            whole = table.window(want.pitch.lead, allowed, stages)
            assert len(whole) > 50 or stages < 3
            assert rows(PitchWindow.stack(found)) == rows(whole)
        floors = [floor for floor, _ in every.in_turn(costs)]
        assert floors == sorted(floors)
        for floor, cell in every.in_turn(costs):
            pool = every.pool(cell, costs)
            assert all(floor <= tuple(one) for one in pool.floor.tolist())


@pytest.mark.parametrize("most", [1, 3])
def test_layers_find_the_options_that_a_search_of_all_finds(most: int) -> None:
    offered = [(63, None), (71, 1), (93, 2), (127, 1), (37, None), (58, 1)]
    candidates = [(TWO_STUDS.making.gear(teeth), copies) for teeth, copies in offered]
    some = [*WIDE[::4], *WANTS[2:110:12]]
    whole = told(find_options(TWO_STUDS, some, candidates, most))
    assert max(map(len, whole)) > 2 * most
    with pytest.MonkeyPatch.context() as patch:
        parted(patch, 40)
        assert told(find_options(TWO_STUDS, some, candidates, most)) == whole


@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(lathes(), st.data())
def test_of_any_lathe_too(lathe: Lathe, data: st.DataObject) -> None:
    teeth = data.draw(st.lists(TEETH, min_size=1, max_size=4, unique=True))
    candidates = [(MAKING.gear(z), data.draw(st.sampled_from([1, 2, None]))) for z in teeth]
    widths = st.sampled_from([Fraction(1, 1000), Fraction(1, 100), Fraction(4, 100)])
    want = data.draw(wants(lathe, widths, candidates))
    order = data.draw(st.sampled_from([PLANNED, to_set_up()]))
    most = data.draw(st.integers(0, 3))
    sets = [(), *((gear,) for gear, _ in candidates)]
    whole = find_options(lathe, [want], candidates, most, order=order)
    settled = Settler(lathe, sets).settle(want)
    with pytest.MonkeyPatch.context() as patch:
        parted(patch, data.draw(st.sampled_from([2, 30])))
        assert told(find_options(lathe, [want], candidates, most, order=order)) == told(whole)
        assert Settler(lathe, sets).settle(want) == settled
    event(f"lathe of {lathe.studs} studs, options {min(3, len(whole.wants[0]))}")


def test_what_is_to_be_set_up_is_the_same(few: pytest.MonkeyPatch) -> None:
    def answers() -> list[object]:
        sets = [(), (TWO_STUDS.making.gear(127),), (TWO_STUDS.making.gear(63),)]
        some: list[Want] = [WIDE[3], *WANTS[5:110:26]]
        shared = trains_shared(TWO_STUDS, some[:2])
        return [
            [Settler(TWO_STUDS, sets).settle(want) for want in some],
            [Bench(TWO_STUDS).reach(want, most=most) for want in some[1:3] for most in (3, None)],
            [[rows.train(k) for k in range(len(rows))] for rows in shared.trains],
        ]

    parts = answers()
    few.undo()
    assert parts == answers()


@pytest.mark.parametrize(("order", "fitting"), [(CLOSEST, False), (to_set_up(), True)])
def test_the_first_so_many_are_those_of_all_sorted(
    few: pytest.MonkeyPatch, order: tuple[str, ...], fitting: bool
) -> None:
    """Of cells, of batches of a handful, on top of some given beforehand; by their costs, as
    trains that cost the same may come either way round."""
    few.setattr(ranking, "_FIRST", 3)
    few.setattr(ranking, "_MANY", 50)
    lathe = replace(TWO_STUDS, chest=Chest(TWO_STUDS.chest.loose[:8]))
    table = TrainSearch(lathe, take_stock(lathe))
    want = replace(WANTS[28], allowance=Allowance(Fraction(1, 20)))
    allowed = want.allowed_on(lathe)
    costs = search.Costs(table, allowed, order)
    every = Cells.of(table, want, allowed)
    assert len(every.cells) > 5
    whole = costs.of(every.first(costs, None, fitting=fitting)).tolist()
    assert whole == sorted(whole)
    assert len(whole) > 6
    for most in (1, 4, 5, len(whole) + 1):
        found = every.first(costs, most, fitting=fitting)
        assert costs.of(found).tolist() == whole[:most]
    start = every.first(costs, 4, fitting=fitting)
    again = every.first(costs, 6, fitting=fitting, start=start)
    assert costs.of(again).tolist() == whole[:6]
