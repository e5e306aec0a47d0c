"""The answer of a plan's page, its cards and its map, as they stand before any script runs."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from html import unescape

import pytest
import report_samples as samples

from gearchest.optimizer.plan.result import Advice, Alternative, Grounds
from gearchest.optimizer.search.result import Verdict
from gearchest.reports.page.shell import Facts
from gearchest.reports.plan import steps_view, view
from gearchest.reports.plan.sheet import plan_sheet
from gearchest.reports.words import wording

PLAN = samples.plan()
SHOWN = samples.ADVISED
STATES = {want.name: states for want, states in zip(PLAN.wants, PLAN.states, strict=True)}
PARTS = view.map_parts(PLAN)
NOW = [states[0].verdict for states in PLAN.states]


@pytest.fixture(scope="module")
def page() -> str:
    return samples.quoted(plan_sheet(PLAN, Facts(), charts=False))


def words(markup: str) -> str:
    return unescape(" ".join(re.sub(r"<[^>]+>", " ", markup).split()))


def test_every_want_and_step_has_verdict_train_and_error_in_words(page: str) -> None:
    table = page[page.index('<table id="map"') : page.index("</table>")]
    told = {}
    for row in table.split("data-want=")[1:]:
        name = unescape(re.search(r"<a [^>]*>([^<]*)</a>", row)[1])  # type: ignore[index]
        told[name] = [words("<" + cell) for cell in row.split("<td ")[1:]]
    assert told.keys() == STATES.keys()
    for name, states in STATES.items():
        for said, state in zip(told[name], states, strict=False):
            assert state.verdict.value in said
            if state.answer:
                assert wording.gears_written(state.answer.train) in said
            assert ("ppm" in said or "%" in said) == (
                state.answer is not None and state.verdict is not Verdict.EXACT
            )


def test_gained_threads_come_first_then_missing_ones_and_exact_ones_are_folded() -> None:
    gained, missing, *series = PARTS
    named = [[row.name for row in part.rows] for part in PARTS]
    assert named[0] == [
        name for name, s in STATES.items() if s[SHOWN].verdict.covered and not s[0].verdict.covered
    ]
    assert named[1] == [name for name, s in STATES.items() if not s[SHOWN].verdict.covered]
    assert gained.rows
    assert missing.rows
    assert Counter(name for names in named for name in names) == Counter(list(STATES))
    for part in series:
        for row in part.rows:
            states = STATES[row.name]
            exact = states[0].verdict is states[SHOWN].verdict is Verdict.EXACT
            assert row.settled == exact
    assert sum(part.settled for part in series) == 4


def test_cells_are_as_strong_as_what_their_step_changes() -> None:
    for part in PARTS:
        for row in part.rows:
            states = STATES[row.name]
            for cell, state in zip(row.cells, states, strict=True):
                if not state.verdict.covered:
                    wanted = "missing"
                elif not states[0].verdict.covered:
                    wanted = "gained"
                else:
                    exact = [s.verdict is Verdict.EXACT for s in (states[0], state)]
                    wanted = "better" if exact == [False, True] else ""
                assert cell.weight == wanted


def test_a_card_for_every_step_that_brings_more_and_the_advised_one_chosen(page: str) -> None:
    cards = steps_view.cards(PLAN, samples.ticked_table(PLAN))
    assert [card.number for card in cards] == list(range(PLAN.enough + 1))
    assert [card.number for card in cards if card.advised] == [SHOWN]
    radios = re.findall(r'<input type="radio" name="step"[^>]*>', page)
    assert [i for i, radio in enumerate(radios) if "checked" in radio] == [SHOWN]
    largest = max(gear for added in samples.ADDED for gear in added)
    for card, added in zip(cards, samples.ADDED, strict=True):
        assert [disc.teeth for disc in card.discs] == [str(teeth) for teeth in added]
        for disc in card.discs:
            scale = (int(disc.teeth) + 2) / (largest + 2)
            assert disc.radius == pytest.approx(steps_view.LARGEST_DISC / 2 * scale, abs=0.06)
        weight = PLAN.steps[card.number].covered_weight / PLAN.steps[0].wanted_weight
        assert card.before + card.gained == pytest.approx(100 * float(weight), abs=0.11)
    assert [card.keeps for card in cards] == [
        "",
        "",
        "keeps 63",
        "keeps 63, 70",
        "keeps 21, 63, 70",
    ]
    (other,) = cards[1].others
    kinds = samples.ticked_table(PLAN).tickable
    assert [kinds[int(place)].gear.teeth for place in (other.ticks or "").split()] == [66]


def test_where_all_is_well_there_is_no_card_and_one_column(page: str) -> None:
    """Though steps were looked at: nobody who needs nothing is shown a purchase."""
    well = replace(PLAN, advice=Advice(0, Grounds.ALL_WELL))
    assert steps_view.cards(well, None) == []
    text = plan_sheet(well, Facts(), charts=False)
    assert 'type="radio" name="step"' not in samples.quoted(text)
    rule = '#map [data-step]:not([data-step="0"], .what-if-column) { display: none; }'
    assert rule in text
    assert rule not in page


def test_steps_that_cover_nothing_more_are_folded_into_one_card() -> None:
    weight = PLAN.steps[3].covered_weight
    last = replace(PLAN.steps[4], covered=15, covered_weight=weight, bound_weight=weight)
    idle = replace(PLAN, steps=(*PLAN.steps[:4], last))
    assert [card.number for card in steps_view.cards(idle, None)] == [0, 1, 2, 3]
    assert steps_view.idle_title(idle) == "4 gears cover nothing more"
    assert [number for number, _ in steps_view.idle(idle)] == [4]
    advised = replace(idle, advice=Advice(4, Grounds.NO_MORE))
    assert steps_view.idle(advised) == []
    unsure = replace(idle, steps=(*PLAN.steps[:4], replace(last, bound_weight=weight + 1)))
    assert "not all sets were looked at" in steps_view.idle_title(unsure)


def test_one_gear_at_a_time_tells_the_running_total_and_what_the_order_loses() -> None:
    turns = steps_view.cards(PLAN, None)[3].turns
    order, prices = PLAN.steps[3].order, {a.offer.gear: a.offer.price for a in PLAN.steps[3].gears}
    spent = Fraction(0)
    for count, (turn, (gear, weight)) in enumerate(zip(turns, order, strict=True), start=1):
        spent += prices[gear]
        assert (turn.gear, turn.weight) == (str(gear), str(weight))
        assert turn.spent == f", for {float(spent):.2f}".removesuffix(".00")
        lost = PLAN.steps[count].covered_weight - weight
        assert turn.loses.startswith(f"{lost} less") if lost else not turn.loses


def test_where_nothing_is_needed_no_purchase_is_shown() -> None:
    """All is covered as it is: the verdict says so, and the first screen names no gear."""
    best = tuple((states[-1],) for states in PLAN.states)
    step = replace(PLAN.steps[4], most=0, gears=(), order=(), price=Fraction(0))
    plan = replace(PLAN, steps=(step,), states=best, advice=Advice(0, Grounds.ALL_WELL))
    text = samples.quoted(plan_sheet(plan, Facts(), charts=False))
    answer = words(text[text.index('id="answer"') : text.index('id="map-section"')])
    assert "You need nothing: all 16 threads are covered." in answer
    assert "gear" not in answer.split("covered.")[1]
    assert "buy" not in answer


def test_without_prices_none_are_shown() -> None:
    """Gears nobody offers count one each in the sums; that is no price."""
    bare = replace(PLAN, priced=False)
    text = samples.quoted(plan_sheet(bare, Facts(), charts=False))
    answer = words(text[text.index('id="answer"') : text.index('id="map-section"')])
    assert " for " not in answer
    assert "buy" not in answer
    assert not re.search(r"<th[^>]*>Price", text)


def test_an_alternative_that_cannot_be_ticked_has_no_button() -> None:
    far = Alternative((samples.Gear(99, samples.MODULE),), *[Fraction(1)] * 3, proven=True)
    step = replace(PLAN.steps[1], alternatives=(far,))
    plan = replace(PLAN, steps=(PLAN.steps[0], step, *PLAN.steps[2:]))
    assert steps_view.cards(plan, samples.ticked_table(PLAN))[1].others[0].ticks is None
