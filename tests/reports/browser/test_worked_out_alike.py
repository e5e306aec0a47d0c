"""What the browser works out of a train - figures, place on the arm, drawing - is what the
program writes into the page for the trains of the steps."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from itertools import permutations
from typing import Any

import pytest
import report_samples as samples
from longer_trains import BOTH, TRIPLE, longer_trains
from mounting import lathe_with, train_of
from waiting import until

from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.arm.result import Fits
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Banjo, Bed, Lathe, Slot, ThreadDial
from gearchest.optimizer.domain.layout import LAYOUTS
from gearchest.optimizer.domain.pitch import mm, relative_error, tpi
from gearchest.optimizer.domain.train import Train, half_nut_step
from gearchest.optimizer.domain.want import Allowance, Want
from gearchest.optimizer.plan.ways import TrainWay
from gearchest.optimizer.plan.whatif import what_if
from gearchest.optimizer.search.answers import answer as answer_of
from gearchest.optimizer.search.result import Answer
from gearchest.optimizer.turning.half_nuts import How
from gearchest.reports.drawing.scale import letter_of
from gearchest.reports.drawing.symbols import definitions
from gearchest.reports.drawing.train import train_svg
from gearchest.reports.page.packing import packed
from gearchest.reports.plan.whatif_data import whatif_data
from gearchest.reports.words import numbers, wording

pytestmark = pytest.mark.browser

NEAR = 1e-6
"""mm, degrees or N between what both work out."""


def two_studs() -> Lathe:
    """Two slots that miss the centre of the screw, one to either side."""
    return next(lathe for lathe, _ in samples.every_layout() if lathe.studs == 2)


def inch_lathe() -> Lathe:
    """Inches first, a gearbox and a lever of two positions in front of the screw."""
    return samples.mini_lathe(
        first_driver_turns=(samples.Fraction(1), samples.Fraction(1, 2)),
        gearbox=(("A", samples.Fraction(1)), ("B", samples.Fraction(3, 2))),
    )


def ask(page: Any, lathe: Lathe, trains: list[Train], script: str, letter: float = 9.0) -> Any:
    """Evaluate `script` for every train: it sees `lathe`, `layout` and `gears`."""
    extra = [gear for train in trains for gear in train.gears]
    data = whatif_data(lathe, what_if(lathe, [], extra), [], letter)
    kinds: list[Gear] = [kind.gear for kind in what_if(lathe, [], extra).tickable]
    asked = [[LAYOUTS.index(t.layout), [kinds.index(g) for g in t.gears]] for t in trains]
    return page.evaluate(
        f"""([data, asked]) => asked.map(([n, kinds]) => {{
          const [lathe, layout] = [data.lathe, data.layouts[n]];
          const gears = kinds.map((kind) => data.kinds[kind]);
          return ({script});
        }})""",
        [data, asked],
    )


def swung_down() -> Lathe:
    """An arm that hangs: of two mirror positions only the lower is within its swing."""
    lathe = samples.mini_lathe()
    assert lathe.banjo
    return replace(lathe, banjo=replace(lathe.banjo, swing=(-140.0, 10.0)))


@pytest.mark.parametrize(
    "lathe", [samples.mini_lathe(), swung_down(), two_studs()], ids=["one", "hanging", "two"]
)
def test_trains_stand_where_the_program_puts_them(visit: Any, lathe: Lathe) -> None:
    """Arm angle, studs, shafts and the tightest clearance, for hundreds of trains; and trains
    that do not fit are not said to."""
    trains = [way.train for way in some_ways(lathe)]
    trains += [backwards(train) for train in trains]
    page, _ = visit("plan")
    assert stand_alike(page, lathe, trains) > 100


def test_trains_over_three_studs_stand_alike(visit: Any) -> None:
    """Of layouts added to the table, as one line adds them."""
    with longer_trains():
        banjo = Banjo(130.0, (Slot(20.0, 160.0), Slot(20.0, 160.0, 40.0)), studs=3, stud_hub=12.0)
        lathe = lathe_with(banjo, 20, 22, 30, 40, 50, 56, 60)
        orders = set(permutations((20, 20, 22, 22, 50, 50, 56, 56), 8))
        trains = [train_of(TRIPLE.idlers, *teeth) for teeth in sorted(orders)[::25]]
        trains += [train_of(BOTH.idlers, *t) for t in permutations((30, 40, 40, 50, 60, 60))][::9]
        page, _ = visit("plan")
        assert stand_alike(page, lathe, trains) > 20


def stand_alike(page: Any, lathe: Lathe, trains: list[Train]) -> int:
    """Holds each train's place in the browser to the program's; how many of them fit."""
    told = ask(page, lathe, trains, "mounting.mount(lathe.arm, layout, gears)")
    fitting = 0
    for train, found in zip(trains, told, strict=True):
        mounted = fit(lathe, train)
        assert (found is not None) == (mounted.fits is Fits.YES)
        if found is None:
            continue
        fitting += 1
        placement = mounted.placement
        assert placement is not None
        assert found["angle"] == pytest.approx(placement.arm_angle, abs=NEAR)
        assert found["slots"] == [stud.slot for stud in placement.studs]
        assert found["positions"] == pytest.approx([s.position for s in placement.studs], abs=NEAR)
        centres = [value for shaft in found["shafts"][1:-1] for value in shaft]
        assert centres == pytest.approx([v for s in placement.studs for v in (s.x, s.y)], abs=NEAR)
        assert len(found["gaps"]) == len(placement.clearances)
        if placement.tightest:
            assert found["tightest"] == pytest.approx(placement.tightest.mm, abs=NEAR)
            assert found["gaps"][0]["between"] == wording.between(train, placement.tightest)
    return fitting


def backwards(train: Train) -> Train:
    """The same gears hung the other way round: most of them will not fit."""
    return replace(
        train, drivers=train.driven[::-1], driven=train.drivers[::-1], idlers=train.idlers[::-1],
        layout=next(x for x in LAYOUTS if x.idlers == train.layout.idlers[::-1]),
    )  # fmt: skip


def some_ways(lathe: Lathe) -> list[TrainWay]:
    """Ways of every layout, for some pitches and generous allowances."""
    wants = [
        Want(str(pitch), mm(pitch), Allowance(samples.Fraction(1, 200)))
        for pitch in ("0.25", "0.7", "1.25", "2")
    ]
    table = what_if(lathe, wants, [samples.Gear(z, samples.MODULE) for z in (63, 70)])
    every = [way for ways in table.ways for way in ways]
    return every[:: max(1, len(every) // 200)]


def dialled() -> Lathe:
    """A metric screw with a dial, and a bed along which some half-nut steps go."""
    return samples.mini_lathe(
        leadscrew=mm("1.5"), thread_dials=(ThreadDial(14, 7),), bed=Bed(200.0)
    )


@pytest.mark.parametrize(
    "lathe", [samples.mini_lathe(), inch_lathe(), dialled()], ids=["plain", "levers", "dial"]
)
def test_loads_errors_and_half_nut_steps_are_the_programs(visit: Any, lathe: Lathe) -> None:
    page, _ = visit("plan")
    want = Want("a thread", mm("0.7"), Allowance(samples.Fraction(1, 50)))
    extra = [lathe.making.gear(teeth) for teeth in (21, 63, 70)]
    table = what_if(lathe, [want], extra)
    data = whatif_data(lathe, table, ["w"], 9.0)
    told = page.evaluate(
        """async (data) => {
          await whatIfTable.ready(); // the page's own table, which it unpacks in its own time
          await whatIfTable.take(data);
          return whatIfTable.data.waysOf[0].map((way) => {
            const { step, turns, levers, nuts } = whatIfTable.details(way);
            return [way.load, way.error, way.exact, step, turns, levers, nuts(false)];
          });
        }""",
        data,
    )
    assert len(told) == len(table.ways[0]) > 20
    hows = set()
    for told_of, way in zip(told, table.ways[0], strict=True):
        load, error, exact, step, turns, levers, nuts = told_of
        hows.add(nuts)
        train = way.train
        assert load == pytest.approx(float(train.tooth_load), abs=NEAR)
        off = relative_error(train.ratio, lathe.leadscrew, want.pitch)
        assert error == pytest.approx(float(off), abs=1e-12)
        assert exact == way.exact == (off == 0)
        assert step == pytest.approx(half_nut_step(train.ratio, lathe.leadscrew), abs=NEAR)
        assert turns == pytest.approx(float(train.ratio), abs=1e-12)
        assert bool(levers) == (len(lathe.gearbox) > 0)
        assert wording.HALF_NUTS[How(nuts)] == wording.half_nuts_words(lathe, train, want)[0]
    assert hows == ({"dial", "standing", "closed"} if lathe.thread_dials else {"closed"})


def test_numbers_are_written_alike(visit: Any) -> None:
    """Exact halves, ties that only look like ones, negative and tiny numbers among them."""
    chance = random.Random(3)
    values = [n / 16 for n in range(-80, 81)] + [62.5, 0.05, 1.005, 1e-7, 4e-7, 0.000999, 0.99995]
    values += [chance.uniform(-1, 1) * 10 ** chance.randint(-7, 3) for _ in range(300)]
    allowed = [chance.uniform(0, 1) * 10 ** chance.randint(-6, -1) for _ in range(300)]
    allowed += [0.001, 0.00256, 0.00109649, 0.000999999, 0.2, 3e-7]
    pairs = [(sign * within, most) for most in allowed for sign in (1, -1)
             for within in (most, most * (1 - 1e-9), most * chance.random())]  # fmt: skip
    sizes = [chance.uniform(0.05, 60) for _ in range(200)] + [25.4 / n for n in (4, 11.5, 13.625)]
    page, _ = visit("plan")
    told = page.evaluate(
        """([values, sizes, pairs]) => [
          values.flatMap((v) => [0, 1, 2, 3].map((places) => figures.figure(v, places))),
          values.map((v) => figures.significant(v)),
          values.map((v) => figures.lengths(v, true, 2)),
          pairs.map(([v, most]) => figures.error(v, v === 0, most)),
          sizes.map((v) => figures.pitches(v, false)),
        ]""",
        [values, sizes, pairs],
    )
    assert told[0] == [numbers.figure(v, places) for v in values for places in range(4)]
    assert told[1] == [numbers.significant(v) for v in values]
    assert told[2] == [numbers.length_pair(v, inch=True, places=2) for v in values]
    assert told[3] == [numbers.error(v, most) for v, most in pairs]
    whole = [tpi(samples.Fraction(n)) for n in ("4", "11.5", "13.625")]
    assert told[4][200:] == [list(numbers.pitch_pair(p, inch=False)) for p in whole]
    assert told[4][:200] == [
        list(numbers.pitch_pair(mm(samples.Fraction(v)), inch=False)) for v in sizes[:200]
    ]


LINES = """
(sheet) => [...sheet.querySelectorAll(".facts dt")].map((label) =>
  [label.textContent, label.nextElementSibling.textContent].map((text) => text.trim()))
"""


def test_the_lines_of_a_setup_are_the_same(visit: Any) -> None:
    """With the gears of the last step ticked every thread's lines are those of that step."""
    page, heard = visit("plan")
    last = len(samples.ADDED) - 1
    page.locator(f'[data-preset="{last}"]').click()
    until(page, "document.documentElement.dataset.ticked")
    compared = 0
    for row in page.locator("#map tr[data-want]").all():
        setup = page.locator(f"#{row.get_attribute('data-want')}")
        row.locator("td a").last.dispatch_event("click")
        ticked = setup.locator(".train-sheet.what-if")
        if not ticked.count():
            continue
        lines = ticked.evaluate(LINES)
        title = ticked.locator(".gears").inner_text()
        row.locator(f"td[data-step='{last}'] a").dispatch_event("click")
        of_step = setup.locator(".train-sheet:not([data-away])")
        assert of_step.locator(".gears").inner_text() == title
        assert of_step.evaluate(LINES) == lines
        compared += 1
    assert compared > 10
    assert heard.messages == []


LOOKS = """
(svg) => {
  const frame = svg.getBoundingClientRect();
  const leaves = [...svg.querySelectorAll("*")].filter((node) => !node.children.length);
  return leaves.map((node) => {
    const [box, style] = [node.getBoundingClientRect(), getComputedStyle(node)];
    const [x, y] = [box.left - frame.left, box.top - frame.top];
    const place = [x, y, box.width, box.height, parseFloat(style.fontSize)];
    const words = [node.tagName, node.textContent, node.getAttribute("href"),
      node.getAttribute("class"), style.stroke, style.fill, style.markerEnd];
    return [words.join(" "), place];
  });
}
"""


@pytest.mark.parametrize("number", range(len(samples.every_layout())))
def test_drawings_look_alike(visit: Any, number: int) -> None:
    lathe, answer = samples.every_layout()[number]
    if answer.fit.fits is Fits.NO:
        pytest.skip("the browser draws trains that fit")
    if number % 2:  # figures in mm instead of inches
        lathe = replace(lathe, leadscrew=mm("1.5"))
    page, _ = visit("plan")
    look_alike(page, lathe, answer)


def test_a_drawing_of_three_studs_looks_alike(visit: Any) -> None:
    with longer_trains():
        banjo = Banjo(130.0, (Slot(20.0, 160.0), Slot(20.0, 160.0, 40.0)), studs=3, stud_hub=12.0)
        lathe = lathe_with(banjo, 20, 22, 50, 56)
        train = train_of(TRIPLE.idlers, 20, 50, 20, 50, 22, 56, 22, 56)
        want = Want("a thread", mm("0.05"), Allowance(samples.Fraction(1)))
        page, _ = visit("plan")
        look_alike(page, lathe, answer_of(lathe, want, train, Counter()))


def look_alike(page: Any, lathe: Lathe, answer: Answer) -> None:
    """Part by part: the same words, look and place to within a millimetre
    and a half of the drawing, which is written in whole ones where that does not show."""
    letter = letter_of(lathe, [answer])
    page.evaluate(
        """(markup) => {
          document.body.innerHTML = `<div id="one">${markup}</div><div id="other"></div>`;
          for (const box of document.body.children) { box.style.width = "600px"; }
        }""",
        str(definitions(lathe, [answer.train], letter) + train_svg(lathe, answer, letter)),
    )
    ask(
        page, lathe, [answer.train],
        """(() => {
          const shown = mounting.mount(lathe.arm, layout, gears);
          const teeth = gears.map((gear) => gear.teeth);
          const stages = layout.idlers.map((idlers) => teeth.splice(0, idlers + 2));
          document.getElementById("other").append(drawTrain(lathe, { ...shown, stages }));
        })()""",
        letter,
    )  # fmt: skip
    one, other = (
        page.evaluate(f"({LOOKS})(document.querySelector('#{box} svg.train'))")
        for box in ("one", "other")
    )
    assert [words for words, _ in one] == [words for words, _ in other]
    for (words, place), (_, its) in zip(one, other, strict=True):
        assert its == pytest.approx(place, abs=3.5), words
    labels = [
        page.locator(f"#{box} svg.train").get_attribute("aria-label") for box in ("one", "other")
    ]
    assert labels[0] == labels[1]


def test_what_is_packed_is_unpacked(visit: Any) -> None:
    """Of every length, so that the last letters stand for one byte to four."""
    page, _ = visit("plan")
    texts = ["", *("".join(chr(0x21 + n * n % 999) for n in range(size)) for size in range(60))]
    found = page.evaluate(
        """(texts) => Promise.all(texts.map(async (text) =>
          (await unpack({ textContent: JSON.stringify(text) })).text()))""",
        [packed(text) for text in texts],
    )
    assert found == texts
