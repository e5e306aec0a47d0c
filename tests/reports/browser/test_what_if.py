"""Ticking gears in the browser gives what the command computes."""

from __future__ import annotations

import random
import re
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import report_samples as samples
from waiting import until

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.wants import want_from
from gearchest.optimizer.domain.gear import Chest, Gear, Offer
from gearchest.optimizer.plan.formulate import Terms
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.whatif import what_if
from gearchest.optimizer.search.reach import Bench
from gearchest.reports.page.shell import Facts
from gearchest.reports.plan.sheet import plan_sheet
from gearchest.reports.plan.whatif_data import whatif_data

pytestmark = pytest.mark.browser

SETS = 5
"""Random sets of tickable gears tried."""


def what_if_words(page: Any) -> list[str]:
    """The verdicts in the map's last column."""
    words: list[str] = page.evaluate(
        "(k) => cells.rows.map((row) => constants.verdicts[cells.rank(row, k)].word)",
        len(samples.ADDED),
    )
    return words


def take(page: Any, step: int) -> None:
    """Tick the gears of a step; the table is unpacked first."""
    page.locator(f'[data-preset="{step}"]').click()
    page.wait_for_selector("#ticked:visible")


def opened(browser: Any, plan: samples.Plan, folder: Path) -> Any:
    """A page of a context of its own with a plan's report, its table for ticking gears ready."""
    path = folder / "plan.html"
    table = samples.ticked_table(plan)
    path.write_text(plan_sheet(plan, Facts(), charts=False, what_if=table), encoding="utf-8")
    page = browser.new_context().new_page()
    page.goto(path.as_uri())
    page.evaluate("whatIfTable.ready()")
    return page


def test_answers_equal_the_search_on_every_step_and_on_random_sets(visit: Any) -> None:
    """The verdict and the very train to set up, thread by thread, against a fresh search."""
    plan = samples.plan()
    table = samples.ticked_table(plan)
    kinds = [kind.gear for kind in table.tickable]
    owned = Counter(dict(plan.lathe.chest.loose))
    sets = [owned + Counter(added.offer.gear for added in step.gears) for step in plan.steps]
    chance = random.Random(7)
    for _ in range(SETS):
        sets.append(Counter({k.gear: chance.randint(0, k.most) for k in table.tickable}))
    page, heard = visit("plan")
    page.evaluate("whatIfTable.ready()")
    for ticked in sets:
        counts = {kinds.index(gear): count for gear, count in ticked.items() if count}
        told = page.evaluate(f"(c) => whatIfTable.answers(c).map({TOLD})", counts)
        assert told == [searched(plan, want, ticked) for want in plan.wants]
    assert heard.messages == []


def searched(plan: samples.Plan, want: samples.Want, ticked: Counter[Gear]) -> list[Any]:
    chest = Chest(tuple((gear, count) for gear, count in ticked.items() if count))
    lathe = samples.mini_lathe(chest=chest)
    return best(Bench(lathe), want)


TOLD = """a => [a.verdict, a.way && a.way.kinds.map(kind => whatIfTable.data.kinds[kind].teeth)]"""
"""What the page says of a thread: the verdict, and the train's teeth in mesh order."""


def best(bench: Bench, want: samples.Want) -> list[Any]:
    """The same from the program."""
    found = bench.reach(want).best
    return [found.verdict.value, [g.teeth for g in found.train.gears]] if found else ["", None]


@pytest.mark.parametrize("shortened", [False, True], ids=["complete", "shortened"])
def test_two_studs_answer_as_the_search_does(visit: Any, shortened: bool) -> None:
    """Trains of six gears too. A table that was cut down knows where it is right, and beyond
    that never says more than there is."""
    lathe = next(lathe for lathe, _ in samples.every_layout() if lathe.studs == 2)
    wants = samples.wants()[1:14:3]
    extra = [samples.Gear(teeth, samples.MODULE) for teeth in (63, 127)]
    named = [(Counter[Gear](), 1), (Counter(extra), 1)]
    table = what_if(lathe, wants, extra, named, most_ways=0 if shortened else 10**6)
    assert table.complete != shortened
    kinds = [kind.gear for kind in table.tickable]
    owned = Counter(dict(lathe.chest.loose))
    chance = random.Random(11)
    sets = [owned, owned + Counter(extra), owned - Counter([kinds[3]]), owned + Counter(extra[:1])]
    sets.append(owned - Counter(kinds[:2]))
    for _ in range(SETS):
        sets.append(Counter({k.gear: chance.randint(0, k.most) for k in table.tickable}))
    page, heard = visit("plan")
    page.evaluate("whatIfTable.ready()")
    data = whatif_data(lathe, table, [want.name for want in wants], 9.0)
    page.evaluate("(data) => whatIfTable.take(data)", data)
    certain = 0
    for ticked in sets:
        counts = {kinds.index(gear): count for gear, count in ticked.items() if count}
        sure, told = page.evaluate(
            f"(c) => [whatIfTable.certain(c), whatIfTable.answers(c).map({TOLD})]", counts
        )
        assert sure == table.certain(ticked)
        certain += sure
        chest = Chest(tuple((gear, count) for gear, count in ticked.items() if count))
        bench = Bench(replace(lathe, chest=chest))
        for want, said in zip(wants, told, strict=True):
            if sure:
                assert said == best(bench, want)
            elif said[1] is not None:
                assert bench.reach(want).best is not None
    assert certain == (4 if shortened else len(sets))
    assert heard.messages == []


def test_ticking_changes_the_map_the_counts_and_the_setup(visit: Any) -> None:
    page, _ = visit("plan")
    step = samples.plan().steps[2]
    take(page, 2)
    said = page.locator("#what-if-count").inner_text()
    assert f"{step.covered} of {step.wanted} threads" in said
    column = what_if_words(page)
    assert len([word for word in column if word != "no train"]) == step.covered
    page.locator("#map tr[data-want=w-m6] td.what-if-column a").click()
    sheet = page.locator(".setup.open .train-sheet.what-if")
    assert sheet.locator("svg.train use[href^='#g']").count() >= 2
    page.keyboard.press("Escape")
    before = column
    for box in page.locator(".ticks input:checked").all()[:6]:
        box.uncheck()
    assert what_if_words(page) != before
    assert said != page.locator("#what-if-count").inner_text()


def test_the_effect_stands_in_view_wherever_gears_are_ticked_and_can_be_undone(visit: Any) -> None:
    """Ticked at a card, in the list far below, and in what one gear more would unlock."""
    page, heard = visit("plan")
    bar = page.locator("#ticked")
    assert not bar.is_visible()
    page.locator(".others-of summary").click()
    page.locator("[data-try]").click()
    assert bar.inner_text().startswith("Your ticks: with 66.")
    heads = page.locator("#map thead th:visible .column-name").all_inner_texts()
    assert heads == ["now", "with 63, 70, 21", "your ticks"]
    page.locator("#map-order").select_option("series")
    box = page.locator(".ticks input:checked").first
    box.scroll_into_view_if_needed()
    box.uncheck()
    told = bar.inner_text()
    assert told.startswith("Your ticks: with 66, without 20.")
    edge = bar.bounding_box()
    assert edge
    assert edge["y"] + edge["height"] <= page.viewport_size["height"] + 1
    lost = [name for name in samples.wants() if f" {name.name}" in told.split("Lost:")[-1]]
    assert ("Lost:" in told) == bool(lost)
    page.locator("[data-undo]").click()
    assert bar.inner_text().startswith("Your ticks: with 66.")
    page.locator("[data-undo]").click()
    assert not bar.is_visible()
    assert page.locator("#map .what-if-column:visible").count() == 0
    assert "gears=" not in page.url
    page.locator("#what-if-next button").first.click()
    assert bar.is_visible()
    page.locator("[data-close]").click()
    assert not bar.is_visible()
    assert heard.messages == []


def test_the_lines_to_paste_list_the_ticked_gears(visit: Any) -> None:
    page, _ = visit("plan")
    take(page, 1)
    lines = page.locator("#what-if-lines").input_value()
    teeth = sorted([*samples.MINI_TEETH, *samples.ADDED[1]])
    assert lines == f"owned = {teeth}"


def test_what_one_gear_more_unlocks_is_what_ticking_it_brings(visit: Any) -> None:
    page, _ = visit("plan")
    take(page, 0)
    items = page.locator("#what-if-next li").all_inner_texts()
    assert items
    teeth, names = re.split(r"\s+weight ", items[0])
    count = int(page.locator("#what-if-count").inner_text().split()[3])
    page.locator(".tick", has_text=teeth).locator("input:not(:checked)").first.check()
    now = int(page.locator("#what-if-count").inner_text().split()[3])
    assert now - count == len(names.split(": ")[1].split(", "))


def test_the_address_keeps_the_ticked_gears(visit: Any) -> None:
    page, _ = visit("plan")
    take(page, 1)
    said = page.locator("#what-if-count").inner_text()
    lines = page.locator("#what-if-lines").input_value()
    assert "gears=" in page.url
    page.locator("#map-show").select_option("gained")
    page.reload()
    page.wait_for_selector("#ticked:visible")
    assert page.locator("#what-if-count").inner_text() == said
    assert page.locator("#what-if-lines").input_value() == lines


def test_it_answers_for_the_lathe_as_it_is_before_anything_is_ticked(visit: Any) -> None:
    page, _ = visit("plan")
    step = samples.plan().steps[0]
    until(page, "document.getElementById('what-if-lines').value")
    said = page.locator("#what-if-count").inner_text()
    assert f"{step.covered} of {step.wanted} threads" in said
    assert page.locator("#map td.what-if-column:visible").count() == 0


def test_of_a_great_many_threads_the_last_tick_is_what_the_map_comes_to_show(
    browser: Any, tmp_path: Path
) -> None:
    """Ticked again before the map has followed; then undone."""
    plan = samples.plan()
    for _ in range(4):
        plan = samples.twice(plan)
    assert len(plan.wants) > 200
    page = opened(browser, plan, tmp_path)
    for step in (1, 3):
        page.evaluate("(n) => document.querySelector(`[data-preset='${n}']`).click()", step)
    column = "[...document.querySelectorAll('#map tbody td.what-if-column a')]"
    for step in (3, 1):
        covered = sum(states[step].verdict.covered for states in plan.states)
        filled = f"{column}.filter((a) => !a.closest('.missing') && a.querySelector('b')).length"
        until(page, f"{filled} === {covered}")
        assert f"{covered} of {len(plan.wants)}" in page.locator("#ticked").inner_text()
        page.locator("[data-undo]").click()
    until(page, "document.getElementById('ticked').hidden")
    page.context.close()


def nylon_plan() -> samples.Plan:
    """Of a lathe with nylon gears, which one thread overloads until a 86 is had."""
    lathe = load_lathe(Path("mini-7-metric"))
    wants = [
        want_from(pitch, lathe=lathe, use=None, diameter=None, left=False)
        for pitch in ("1 mm", "M10", "8 tpi", "11 tpi")
    ]
    gear = lathe.making.gear(86)
    question = Question(terms=Terms(include=(gear,)), most=1)
    return make_plan(
        [lathe], wants, [Offer(gear, Fraction(21))], question, Watch(), making_tables()
    )


TEXT = "((row, k) => cells.cellOf(row, k).textContent.trim().replace(/\\s+/g, ' '))"
"""What stands in a cell, for a script."""


@pytest.mark.parametrize("made", [samples.plan, nylon_plan], ids=["as sampled", "overloaded"])
def test_the_gears_of_a_step_ticked_say_word_for_word_what_the_step_says(
    browser: Any, tmp_path: Path, made: Callable[[], samples.Plan]
) -> None:
    """Verdict, train, error, and whether teeth are overloaded."""
    plan = made()
    page = opened(browser, plan, tmp_path)
    column = "Number(document.querySelector('#map .what-if-column').dataset.step)"
    for step in [*range(1, len(plan.steps)), 0]:
        page.locator(f'[data-preset="{step}"]').click()
        same = f"{TEXT}(row, {column}) === {TEXT}(row, {step})"
        covered = f"cells.rows.filter((row) => cells.covered(row, {step}))"
        until(page, f"{covered}.every((row) => {same})")
    over = 0
    for step in range(len(plan.steps)):
        told = page.evaluate(f"(k) => cells.rows.map((row) => {TEXT}(row, k))", step)
        for said, states in zip(told, plan.states, strict=True):
            over += states[step].overloaded
            assert ("teeth overloaded" in said) == states[step].overloaded
    assert bool(over) == (made is nylon_plan)
    page.context.close()
