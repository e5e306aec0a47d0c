"""The plan page as text: complete without scripts, safe, the same bytes every time."""

from __future__ import annotations

import base64
import hashlib
import re
from collections import Counter
from dataclasses import replace
from importlib.resources import files

import pytest
import report_samples as samples

from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.plan.result import Advice, Grounds
from gearchest.optimizer.search.result import Verdict
from gearchest.reports.page.shell import Facts
from gearchest.reports.plan import setups_view, view
from gearchest.reports.plan.document import plan_document
from gearchest.reports.plan.setups_view import thread_sheets
from gearchest.reports.plan.sheet import plan_sheet
from gearchest.reports.plan.text import plan_lines
from gearchest.reports.words import numbers, wording

NOTHING = Advice(0, Grounds.NOT_LOOKED)
FACTS = Facts("9.9", (("lathe.toml", "ab" * 32),), (("--most", "4"),))


@pytest.fixture(scope="module")
def page() -> str:
    return plan_sheet(samples.plan(), FACTS, charts=False)


@pytest.fixture(scope="module")
def text(page: str) -> str:
    return samples.quoted(page)


def test_same_input_same_bytes(page: str) -> None:
    again = replace(samples.plan())
    assert plan_sheet(again, FACTS, charts=False) == page


def test_every_inline_script_is_allowed_by_its_hash_and_nothing_else() -> None:
    text = plan_sheet(samples.plan(), FACTS)
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', text)
    assert policy
    assert "connect-src &#39;none&#39;" in policy[1]
    scripts = re.findall(r"<script>(.*?)</script>", text, re.DOTALL)
    hashes = {base64.b64encode(hashlib.sha256(s.encode()).digest()).decode() for s in scripts}
    assert set(re.findall(r"sha256-([^&]+)&", policy[1])) == hashes
    assert not re.search(r"\son\w+=\"", text)


def test_charts_come_only_where_they_are_wanted(page: str) -> None:
    assert 'id="charts"' in samples.quoted(plan_sheet(samples.plan(), FACTS))
    assert 'id="charts"' not in samples.quoted(page)


def test_user_text_is_escaped(page: str) -> None:
    text = plan_sheet(samples.plan("</script><b>x", measured=False), FACTS, charts=False)
    assert "<b>x" not in text
    assert "&lt;/script&gt;&lt;b&gt;x" in text
    assert "<b>stand screw" not in page


def test_scripts_find_cells_by_their_step_and_not_by_their_place() -> None:
    """Else a further column would have to be told to them."""
    scripts = [*files("gearchest.reports").joinpath("plan").iterdir()]
    source = "".join(path.read_text("utf-8") for path in scripts if path.name.endswith(".js"))
    assert "data-step" in source
    assert not re.search(r"cellIndex|\.cells\b|nth-", source)


def test_links_lead_somewhere_and_ids_are_unique(text: str) -> None:
    ids = Counter(re.findall(r'\bid="([^"]+)"', text))
    assert max(ids.values()) == 1
    links = set(re.findall(r'href="#([^"]+)"', text))
    assert links <= set(ids)
    assert {"w-m3", "w-m10", "w-clamp-screw"} <= set(ids)


def setup_of(text: str, want: str) -> str:
    ident = wording.anchors([want])[0]
    start = text.index(f'id="{ident}"', text.index('<section id="setups"'))
    return text[start : text.index("</article>", start)]


def sheets(markup: str) -> dict[int, str]:
    """The sheet of each step in a piece of markup."""
    found: dict[int, str] = {}
    for sheet in markup.split('<div class="train-sheet')[1:]:
        steps = re.search(r'data-steps="([\d ]+)"', sheet)
        assert steps
        for step in steps[1].split():
            assert int(step) not in found
            found[int(step)] = sheet
    return found


def test_every_train_is_drawn_in_the_page_or_packed_with_it(page: str, text: str) -> None:
    plan = samples.plan()
    more = samples.filled(page, "more-sheets")
    packed = 0
    for want, states in zip(plan.wants, plan.states, strict=True):
        shown = sheets(setup_of(text, want.name))
        held = sheets(samples.quoted("".join(more.get(wording.anchors([want.name])[0], []))))
        assert not {*shown} & {*held}
        assert samples.ADVISED not in held
        assert 0 not in held or states[0].verdict is Verdict.OFF
        packed += len(held)
        for step, state in enumerate(states):
            sheet = (shown | held).get(step)
            if state.answer is None:
                assert sheet is None
                continue
            assert sheet
            assert f"{wording.gears_written(state.answer.train)}</span>" in sheet
            assert ('class="train"' in sheet) == (step in shown)
            assert 'data-place="' in sheet
            assert "<dt>Tooth load" in sheet
    assert packed


def test_with_too_much_to_draw_only_the_step_advised_stays_in_the_page(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    whole = [sheet for made in thread_sheets(samples.plan()) for sheet in made.sheets]
    assert not any(sheet.planes for sheet in whole)
    monkeypatch.setattr(setups_view, "MOST_DRAWN", 0)
    plan = samples.plan()
    for made, states in zip(thread_sheets(plan), plan.states, strict=True):
        answer = states[samples.ADVISED].answer
        for sheet in made.sheets:  # without scripts its planes stand in words
            assert answer
            for number, stage in enumerate(answer.train.stages, start=1):
                told = re.search(rf"Plane {number}: ([^.]*)\.", sheet.planes)[1]  # type: ignore[index]
                assert [int(teeth) for teeth in re.findall(r" (\d+)", told)] == [
                    gear.teeth for gear in stage
                ]
        assert all(samples.ADVISED in sheet.steps for sheet in made.sheets)
        told = sorted(step for sheet in made.sheets + made.more for step in sheet.steps)
        assert told == [k for k, state in enumerate(states) if state.answer]


def test_packed_sheets_bring_no_ids_and_point_at_what_is_there(page: str, text: str) -> None:
    idents = set(re.findall(r'\bid="([^"]+)"', text))
    for markup in samples.filled(page, "more-sheets").values():
        held = samples.quoted("".join(markup))
        assert ' id="' not in held
        assert set(re.findall(r'href="#([^"]+)"', held)) <= idents


def test_the_table_of_trains_gives_the_figures_of_the_plan(text: str) -> None:
    """Row by row, recomputed; each train once, with the steps at which it is the one to set up."""
    plan = samples.plan()
    compared = 0
    for want, states in zip(plan.wants, plan.states, strict=True):
        markup = setup_of(text, want.name)
        answers = {state.answer for state in states if state.answer}
        exact = {state.without_error for state in states if state.without_error}
        rows = rows_of(markup)
        assert len(rows) == len(answers | exact)
        for k, state in enumerate(states):
            told = [cells for steps, cells in rows if k in steps]
            assert len(told) == (state.answer is not None)
            if state.answer:
                assert told[0][:5] == figures(want, state.answer)
                compared += 1
        beside = [cells for steps, cells in rows if not steps]
        assert len(beside) == len(exact - answers)
        assert all(cells[2] == "no error" and cells[5] == "without error" for cells in beside)
    assert compared > 20


def rows_of(markup: str) -> list[tuple[list[int], list[str]]]:
    """The steps and the words of each row of a setup's table of trains."""
    table = markup[markup.index('<table class="trains') : markup.index("</table>")]
    found = []
    for line in table.split("<tr data-steps=")[1:]:
        cells = [re.sub(r"<[^>]*>", "", cell).strip() for cell in re.split(r"<t[hd][^>]*>", line)]
        found.append(([int(k) for k in re.findall(r"\d+", line[: line.index(">")])], cells[1:]))
    return found


def figures(want: samples.Want, answer: samples.Answer) -> list[str]:
    """What a row must say, recomputed."""
    train = answer.train
    written = " × ".join("/".join(map(str, stage)) for stage in train.stages)
    if train.layout.idlers == (1,):
        first, idler, last = train.stages[0]
        written = f"{first}/({idler})/{last}"
    return [
        written,
        answer.verdict.value,
        numbers.error(answer.error, want.allowance.relative),
        "unchecked",  # the sample says nothing of materials
        ", ".join(str(gear) for gear in answer.missing) or "–",
    ]


def test_the_hand_is_said_where_it_is_left() -> None:
    plan = samples.plan()
    lefts = replace(plan, wants=tuple(replace(want, left=True) for want in plan.wants))
    rows = [row for part in view.map_parts(lefts) for row in part.rows]
    assert len(rows) == len(plan.wants)
    assert all("left hand" in row.pitch for row in rows)
    assert plan_sheet(lefts, FACTS, charts=False).count(", left hand") >= len(plan.wants)
    assert "left hand" not in plan_sheet(plan, FACTS, charts=False)


def test_a_train_on_the_second_lathe_is_drawn_and_reckoned_on_it() -> None:
    """What it cuts goes by its own leadscrew, its drawing points at its own arm."""
    plan = samples.plan()
    other = samples.mini_lathe(name="The other", leadscrew=mm("1.5"))
    states = tuple(
        tuple(replace(step, lathe="The other") for step in steps) for steps in plan.states
    )
    shared = replace(plan, also=other, states=states)
    text = samples.quoted(plan_sheet(shared, FACTS, charts=False))
    assert "on The other" in text
    assert 'href="#b-arm"' in text
    assert set(re.findall(r'href="#([^"]+)"', text)) <= set(re.findall(r'\bid="([^"]+)"', text))
    for made, steps in zip(thread_sheets(shared), states, strict=True):
        for sheet in made.sheets:
            answer = steps[sheet.steps[0]].answer
            assert answer
            cuts = next(fact.value for fact in sheet.cut if fact.label == "Cuts")
            assert f"{float(answer.train.ratio) * 1.5:.5g}" in cuts


def test_each_cell_says_on_which_of_two_lathes_its_train_is() -> None:
    plan = samples.plan()
    other = samples.mini_lathe(name="The other", leadscrew=mm("1.5"))
    states = tuple(
        tuple(replace(step, lathe="The other" if (row + k) % 2 else plan.lathe.name)
              for k, step in enumerate(steps))
        for row, steps in enumerate(plan.states)
    )  # fmt: skip
    shared = replace(plan, also=other, states=states)
    rows = sorted((row for part in view.map_parts(shared) for row in part.rows),
                  key=lambda row: row.listed)  # fmt: skip
    for row, steps in zip(rows, states, strict=True):
        for cell, step in zip(row.cells, steps, strict=True):
            letter = "B" if step.lathe == "The other" else "A"
            assert cell.note.endswith(f"on {letter}") == (step.answer is not None)
    text = plan_sheet(shared, FACTS, charts=False)
    assert "<b>On B</b>: The other." in text
    assert f"A is {plan.lathe.name}, B The other" in text
    assert (
        plan_lines(shared).count(f"{plan.lathe.name} and The other, which share their gears") == 1
    )
    document = plan_document(shared)
    assert (document["lathe"], document["also"]) == (plan.lathe.name, "The other")
    for pitch, steps in zip(document["pitches"], states, strict=True):
        for told, step in zip(pitch["steps"], steps, strict=True):
            assert told["lathe"] == (step.lathe if step.answer else None)
            if step.answer and step.lathe == "The other":
                cut = float(step.answer.train.ratio) * 1.5
                assert told["train"]["pitch_mm"] == pytest.approx(cut)
    alone = [cell.on for part in view.map_parts(plan) for row in part.rows for cell in row.cells]
    assert not any(alone)
    assert "<b>On A</b>" not in plan_sheet(plan, FACTS, charts=False)


def test_where_no_gears_may_be_added_none_are_said_to_be_wanting() -> None:
    plan = samples.plan()
    first = tuple(steps[:1] for steps in plan.states)
    text = plan_sheet(
        replace(plan, steps=plan.steps[:1], states=first, advice=NOTHING, sought=False),
        FACTS,
        charts=False,
    )
    assert "No gears to add were looked for" in text
    assert "stay out of reach" not in text


def test_unproven_steps_say_so(page: str) -> None:
    assert "not proven (time limit): no set covers more than" in page
    assert page.count("proven best") >= 4


def test_an_unmeasured_arm_is_said() -> None:
    text = plan_sheet(samples.plan("x", measured=False), FACTS, charts=False)
    assert "Fit is unchecked" in text
    assert "the arm is unmeasured, so fit is unchecked" in text


def test_the_cautions_of_the_trade_are_there(page: str) -> None:
    for words in ("unplug", "Covers closed", "No gloves", "slowest speed", "come first"):
        assert words in page
