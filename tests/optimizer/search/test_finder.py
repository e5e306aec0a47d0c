"""What is remembered is what would be found afresh, whatever is changed in between."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import want_from
from gearchest.optimizer.domain.gear import Chest, Offer
from gearchest.optimizer.domain.lathe import COMMON_HEAD, Lathe, ThreadDial
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search import finder, in_view
from gearchest.optimizer.search.costs import LOAD, PLANNED, to_set_up
from gearchest.optimizer.search.finder import AFRESH, Finder, Remembering
from gearchest.optimizer.search.in_view import without_error
from gearchest.optimizer.search.options import OptionTable
from gearchest.optimizer.search.search import find_options

BENCH = Path(__file__).parents[2] / "bench" / "small"
LATHE = load_lathe(BENCH / "lathe.toml")
OFFERS = load_offers(BENCH / "offers.csv", LATHE)[:12]
WANTS = tuple(
    want_from(text, lathe=LATHE)
    for text in ("M6", "M8", "1.1 mm", "19 tpi", "3.5 mm", "M10", "0.3 mm", "27 tpi")
)


def plan(lathe: Lathe, wants: tuple[Want, ...], offers: tuple[Offer, ...], by: Finder) -> Plan:
    return make_plan([lathe], wants, offers, Question(most=1), Watch(), making_tables(), by)


def without_arm(lathe: Lathe) -> Lathe:
    return replace(lathe, banjo=None)


def torque(lathe: Lathe) -> Lathe:
    return replace(lathe, policy=replace(lathe.policy, screw_torque=20.0))


def test_every_change_is_answered_as_if_it_were_the_first_question() -> None:
    known = Remembering()
    tighter = replace(WANTS[0], allowance=replace(WANTS[0].allowance, relative=Fraction(1, 10**5)))
    heavy = replace(WANTS[2], weight=Fraction(9), name="other")
    questions = [
        (LATHE, WANTS, OFFERS),
        (LATHE, (tighter, *WANTS[1:]), OFFERS),
        (LATHE, (heavy, *WANTS), OFFERS),
        (LATHE, (replace(WANTS[1], left=True), *WANTS), OFFERS[:6]),
        (without_arm(LATHE), WANTS, OFFERS),
        (torque(LATHE), WANTS, OFFERS),
        (replace(LATHE, name="renamed"), WANTS, OFFERS),
        (LATHE, WANTS[::-1], OFFERS),
    ]
    for lathe, wants, offers in questions:
        assert plan(lathe, wants, offers, known) == plan(lathe, wants, offers, AFRESH)


def test_what_is_known_is_not_looked_for_again(monkeypatch: pytest.MonkeyPatch) -> None:
    known = Remembering()
    before = plan(LATHE, WANTS, OFFERS, known)
    asked: list[object] = []
    find = finder.find_options

    def noted(lathe: Lathe, wants: list[Want], *rest: object, **how: object) -> object:
        asked.extend(want.name for want in wants)
        return find(lathe, wants, *rest, **how)  # type: ignore[arg-type]

    monkeypatch.setattr(finder, "find_options", noted)
    monkeypatch.setattr(finder.Settler, "settle", lambda *_: pytest.fail("settled again"))
    again = plan(replace(LATHE, name="x"), tuple(replace(w, weight=Fraction(2)) for w in WANTS),
                 OFFERS, known)  # fmt: skip
    assert not asked
    assert [s.covered for s in again.steps] == [s.covered for s in before.steps]


def test_what_is_kept_is_bounded_whatever_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of one lathe, with ever new allowances; what was asked last is still known."""
    monkeypatch.setattr(in_view, "MOST_OPTIONS", 300)
    monkeypatch.setattr(finder, "MOST_STEPS", 20)
    known = Remembering()
    pool = [(LATHE.making.gear(z), None) for z in (20, 30, 33, 40, 45, 50, 60, 63, 70, 80, 127)]
    asked = []
    for number in range(1, 40):
        allowed = Allowance(Fraction(number, 10_000))
        want = replace(WANTS[number % len(WANTS)], allowance=allowed)
        known.ahead(LATHE, [want], pool, to_set_up())
        for settler in (known.settler(LATHE, [()]), AFRESH.settler(LATHE, [()])):
            asked.append(settler.settle(want))
        assert asked[-1] == asked[-2]
        (view,) = known._views.values()
        held = sum(map(len, view.known.values()))
        assert held <= 300 or len(view.known) == 1
        assert view.knows([want])
        assert sum(map(len, known._settled.values())) <= 21
    assert 1 < len(view.known) < 39


def chest(lathe: Lathe, *teeth: int) -> Lathe:
    counted = Counter(lathe.making.gear(count) for count in teeth)
    loose = tuple(sorted(counted.items(), key=lambda item: item[0].order))
    return replace(lathe, chest=Chest(loose))


def told(table: OptionTable) -> list[set[tuple[object, ...]]]:
    """What each want's options lack and cost, and of which train."""
    return [
        {
            (*(table.candidates[c] for c in lacks if c >= 0), tuple(costs), options.train(row))
            for row, (lacks, costs) in enumerate(
                zip(options.missing.tolist(), options.costs.tolist(), strict=True)
            )
        }
        for options in table.wants
    ]


CHESTS = ((20, 30, 40, 50, 60), (20, 30, 40, 40, 60, 63), (30, 60), (20, 20, 33, 40, 50, 60, 70))


@pytest.mark.parametrize("order", [PLANNED, to_set_up(), to_set_up((LOAD,))])
@pytest.mark.parametrize("fixed", [None, 40])
def test_any_gears_are_answered_out_of_all_in_view_as_by_a_search(
    monkeypatch: pytest.MonkeyPatch, order: tuple[str, ...], fixed: int | None
) -> None:
    """Of trains that cost the same a search may show another one, and none other where tooth
    counts settle ties."""
    known = Remembering()
    lathe = replace(LATHE, fixed_first_driver=LATHE.making.gear(fixed) if fixed else None)
    pool = [(LATHE.making.gear(z), None) for z in (20, 30, 33, 40, 50, 60, 63, 70, 127, 35, 45)]
    known.ahead(chest(lathe, 20, 30, 40, 50, 60), WANTS, pool, order)
    monkeypatch.setattr(finder, "find_options", lambda *_, **__: pytest.fail("searched again"))
    for teeth in CHESTS:
        machine = chest(lathe, *teeth)
        if fixed and teeth.count(fixed) != CHESTS[0].count(fixed):
            continue  # as many of the first driver's kind make another lathe
        for copies in (None, 1):
            some = [(gear, copies) for gear, _ in pool[:-2] if gear.teeth not in (20, 63)]
            for most in (0, 1, 4):
                found = known.find(machine, WANTS, some, most, order=order)
                afresh = find_options(machine, WANTS, some, most, order=order)
                assert found.candidates == afresh.candidates
                if order == PLANNED:
                    one, other = (
                        [{row[:-1] for row in want} for want in told(table)]
                        for table in (without_load(found), without_load(afresh))
                    )
                    assert one == other
                else:
                    assert told(found) == told(afresh)


def without_load(table: OptionTable) -> OptionTable:
    return replace(table, wants=tuple(
        replace(want, costs=want.costs[:, [0, 2]]) for want in table.wants
    ))  # fmt: skip


def test_wants_are_settled_out_of_it_as_they_are_by_a_search() -> None:
    known = Remembering()
    pool = [(LATHE.making.gear(z), None) for z in (20, 30, 33, 40, 50, 60, 63, 70, 127, 45)]
    exact = [without_error(LATHE, want) for want in WANTS]
    known.ahead(LATHE, [*WANTS, *exact], pool, to_set_up())
    by_pool = 0
    for teeth in CHESTS:
        machine = chest(LATHE, *teeth)
        sets = [(), [LATHE.making.gear(63)], [LATHE.making.gear(45), LATHE.making.gear(127)]]
        fresh, quick = AFRESH.settler(machine, sets), known.settler(machine, sets)
        for want in WANTS:
            settled = fresh.settle(want)
            assert quick.settle(want) == settled
            by_pool += sum(step.verdict.covered for step in settled)
    assert by_pool > 20


def test_nothing_is_looked_for_ahead_where_much_is_known_in_another_order(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What is known of the same lathe in the same order, or of another lathe, does not count."""
    known, asked = Remembering(), 0
    find = finder.find_options

    def noted(*given: object, **how: object) -> object:
        nonlocal asked
        asked += 1
        return find(*given, **how)  # type: ignore[arg-type]

    monkeypatch.setattr(finder, "find_options", noted)
    monkeypatch.setattr(finder, "MOST_AHEAD", 0)
    pool = [(LATHE.making.gear(z), None) for z in (20, 30, 40, 60, 63)]
    machine = chest(LATHE, 20, 30, 40, 60)
    other = replace(machine, right_hand_meshes=0)
    for lathe, wants, order, looked in (
        (machine, WANTS[:2], PLANNED, True),
        (machine, WANTS[2:4], PLANNED, True),
        (machine, WANTS[:2], to_set_up(), False),
        (other, WANTS[:2], to_set_up(), True),
        (other, WANTS[:2], PLANNED, False),
    ):
        before = asked
        known.ahead(lathe, wants, pool, order)
        assert (asked > before) == looked


def test_so_much_is_kept_and_no_more(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of tables and views those asked last, of settled wants those of the sets asked last."""
    monkeypatch.setattr(finder, "MOST_TABLES", 3)
    monkeypatch.setattr(finder, "MOST_VIEWS", 2)
    monkeypatch.setattr(finder, "MOST_SETTLED", 3)
    known, gear = Remembering(), LATHE.making.gear
    machines = [chest(LATHE, 20, 30, z) for z in (40, 45, 50, 60)]
    pool = [[(gear(z), None)] for z in (63, 65, 66, 70)]
    for machine, some in zip(machines, pool, strict=True):
        known.find(machine, WANTS[:1], some, 1)
    assert [about[0].chest for about in known._tables] == [one.chest for one in machines[1:]]
    assert [set(name[2]) for name in known._views] == [
        {gear(20), gear(30), gear(z), gear(more)} for z, more in ((50, 66), (60, 70))
    ]
    known.find(machines[1], WANTS[:1], pool[1], 1)
    known.find(machines[0], WANTS[:1], pool[0], 1)
    kept = [machines[3].chest, machines[1].chest, machines[0].chest]
    assert [about[0].chest for about in known._tables] == kept
    for z in (40, 45, 50):
        known.settler(machines[0], [(), (gear(z),)])
    assert [set(about[1]) for about in known._settled] == [
        {(gear(45), 1)}, set(), {(gear(50), 1)}
    ]  # fmt: skip


def test_options_are_let_go_of_down_to_a_table_and_a_view(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    known, gear = Remembering(), LATHE.making.gear
    pool = [(gear(z), None) for z in (33, 35, 45, 60)]
    wide = [replace(want, allowance=Allowance(Fraction(1, 5))) for want in WANTS[:3]]
    for number in range(4):
        machine = chest(LATHE, 20, 30, 40 + number)
        known.find(machine, wide, pool, 2)
    assert (len(known._tables), len(known._views)) == (4, 4)
    monkeypatch.setattr(finder, "MOST_OPTIONS", 0)
    machine = chest(LATHE, 20, 30, 50)
    found = known.find(machine, wide, pool, 2)
    assert len(known._tables) + len(known._views) == 2
    assert without_load(found).wants[0].costs.tolist()
    for one, other in zip(found.wants, find_options(machine, wide, pool, 2).wants, strict=True):
        assert {tuple(row) for row in one.missing.tolist()} == {
            tuple(row) for row in other.missing.tolist()
        }


def test_nothing_a_train_does_not_hang_on_makes_another_lathe() -> None:
    """Nor does a name; another torque does."""
    plain = finder._plain(LATHE)
    other = replace(
        LATHE, name="x", bed=replace(LATHE.bed, carriage_travel=9.0), dividing=(COMMON_HEAD,),
        thread_dials=(ThreadDial(16, 4),), workshop=replace(LATHE.workshop, dial_division=0.01),
    )  # fmt: skip
    assert finder._plain(other) == plain
    assert finder._plain(torque(LATHE)) != plain
    assert plain.chest == LATHE.chest
