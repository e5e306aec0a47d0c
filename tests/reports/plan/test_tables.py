"""Tables to save: a quantity a column, of one type, and what the plan has."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from fractions import Fraction
from itertools import accumulate
from pathlib import Path

import pandas as pd
import pytest
import report_samples as samples
from table_frames import framed

from gearchest.cli.files.grid import read_grids
from gearchest.cli.files.offers import load_offers
from gearchest.optimizer.domain.pitch import mm
from gearchest.optimizer.domain.train import half_nut_step
from gearchest.optimizer.plan.result import Further
from gearchest.reports.page.shell import Facts
from gearchest.reports.page.tables import TEXT, csv, table
from gearchest.reports.plan import tables
from gearchest.reports.plan.sheet import plan_sheet

PLAN = samples.plan()
SAVED = tables.plan_tables(PLAN)
TABLES = {name: framed(table) for name, table in SAVED.items()}


@pytest.mark.parametrize("name", TABLES)
def test_every_column_has_a_type_and_a_plain_head(name: str) -> None:
    table = TABLES[name]
    assert "object" not in {str(kind) for kind in table.dtypes}
    assert all(re.fullmatch(r"[a-z][a-zA-Z0-9 ,:-]*", head) for head in table.columns)


@pytest.mark.parametrize("name", TABLES)
def test_read_again_it_is_the_same_table(name: str) -> None:
    text = csv(SAVED[name])
    assert text.startswith("\ufeff")
    assert text.count("\r\n") == len(TABLES[name]) + 1
    again = pd.read_csv(io.StringIO(text.removeprefix("\ufeff")), keep_default_na=False)
    assert list(again.columns) == list(TABLES[name].columns)
    for head, kind in TABLES[name].dtypes.items():
        if str(kind) == "string":
            assert again[head].tolist() == TABLES[name][head].fillna("").tolist()


@pytest.mark.parametrize("name", TABLES)
def test_the_program_reads_back_what_was_saved(name: str, tmp_path: Path) -> None:
    """Cell for cell as it was, and heads too, whatever the threads are called."""
    strange = replace(PLAN.wants[0], name="=1+1, \"x\"; '@y'")
    saved = tables.plan_tables(replace(PLAN, wants=(strange, *PLAN.wants[1:])))[name]
    path = tmp_path / "saved.csv"
    path.write_bytes(csv(saved).encode())
    (grid,) = read_grids(path)
    assert list(grid.rows[0].cells) == list(saved.columns)
    told = [list(row.cells) for row in grid.rows[1:]]
    texts = [n for n, kind in enumerate(saved.columns.values()) if kind == TEXT]
    for row, wanted in zip(told, saved.rows, strict=True):
        row += [""] * (len(saved.columns) - len(row))
        assert [row[n] for n in texts] == [wanted[n] or "" for n in texts]


def test_a_head_is_no_formula_to_a_spreadsheet() -> None:
    saved = table([{"=A1: train": "1/2"}], {"=A1: train": TEXT})
    assert csv(saved) == "\ufeff'=A1: train\r\n1/2\r\n"


def test_two_steps_with_the_same_gears_are_told_apart() -> None:
    again = replace(PLAN, steps=(*PLAN.steps, PLAN.steps[-1]),
                    states=tuple((*states, states[-1]) for states in PLAN.states))  # fmt: skip
    heads = list(tables.map_table(again).columns)
    assert len(set(heads)) == len(heads)
    last = len(PLAN.steps) - 1
    assert {f"{tables.step_name(again, k)}: train" for k in (last, last + 1)} <= set(heads)


def test_the_order_can_be_given_as_the_gears_on_offer(tmp_path: Path) -> None:
    path = tmp_path / "order.csv"
    path.write_bytes(csv(SAVED["order-of-purchase"]).encode())
    step = PLAN.steps[samples.ADVISED]
    bought = {(a.offer.gear.teeth, a.offer.price, a.offer.how) for a in step.gears}
    found = load_offers(path, PLAN.lathe)
    assert {(one.gear.teeth, one.price, one.how) for one in found} == bought


def test_coverage_has_a_row_for_each_thread_and_step() -> None:
    frame = framed(tables.coverage_table(PLAN))
    assert len(frame) == len(PLAN.wants) * len(PLAN.steps)
    for k, step in enumerate(PLAN.steps):
        here = frame[frame["step"] == k]
        assert int(here["covered"].sum()) == step.covered
        assert here.loc[here["covered"], "weight"].sum() == float(step.covered_weight)
        assert here["verdict"].tolist() == [states[k].verdict.value for states in PLAN.states]


def test_the_error_is_that_of_the_train_beside_it() -> None:
    """Worked out from the gears as they are written, against the pitch in its column."""
    frame = framed(tables.coverage_table(PLAN)).dropna(subset=["train"])
    for _, row in frame.iterrows():
        ratio = Fraction(1)
        for stage in str(row["train"]).split(" × "):
            first, *_, last = stage.split("/")
            ratio *= Fraction(int(first), int(last))
        lead = float(ratio) * PLAN.lathe.leadscrew.mm
        assert lead / float(row["lead mm"]) - 1 == pytest.approx(float(row["error"]), abs=1e-9)
    assert len(frame) > 40


def test_the_map_has_verdict_error_and_train_of_every_step_in_one_row() -> None:
    wide, long = TABLES["coverage-map"], TABLES["every-thread-and-step"]
    assert wide["name"].tolist() == [want.name for want in PLAN.wants]
    added = [", ".join(map(str, teeth)) for teeth in samples.ADDED[1:]]
    for k, head in enumerate(["now", *(f"with {teeth}" for teeth in added)]):
        here = long[long["step"] == k].reset_index(drop=True)
        for name in ("verdict", "error", "train"):
            pd.testing.assert_series_equal(wide[f"{head}: {name}"], here[name], check_names=False)


def test_the_order_tells_what_is_spent() -> None:
    order, last = TABLES["order-of-purchase"], PLAN.steps[samples.ADVISED]
    prices = {added.offer.gear.teeth: float(added.offer.price) for added in last.gears}
    assert order["teeth"].tolist() == [gear.teeth for gear, _ in last.order]
    assert order["price"].tolist() == [prices[gear.teeth] for gear, _ in last.order]
    assert order["spent by then"].tolist() == pytest.approx(list(accumulate(order["price"])))
    assert order["spent by then"].iloc[-1] == float(last.price)
    start = float(PLAN.steps[0].covered_weight)
    assert start + order["gain"].sum() == order["weight covered then"].iloc[-1]


def test_gears_to_add_cost_what_their_step_does() -> None:
    sums = TABLES["gears-to-add"].groupby("step")["price"].sum()
    assert sums.to_dict() == {k: float(s.price) for k, s in enumerate(PLAN.steps) if s.gears}


def test_what_is_out_of_reach_names_the_gears_it_takes() -> None:
    last = replace(
        PLAN.steps[0], further=(Further(PLAN.wants[0].name, (samples.Gear(37, samples.MODULE),)),)
    )
    bare = replace(PLAN, steps=(last,), states=tuple(states[:1] for states in PLAN.states))
    frame = framed(tables.left_table(bare))
    missed = [
        w.name for w, s in zip(PLAN.wants, PLAN.states, strict=True) if not s[0].verdict.covered
    ]
    assert frame["name"].tolist() == missed
    assert frame["further gears"].tolist() == ["37", *[""] * (len(missed) - 1)]


def test_a_train_on_the_second_lathe_is_reckoned_on_it() -> None:
    other = samples.mini_lathe(name="The other", leadscrew=mm("1.5"))
    states = tuple(tuple(replace(step, lathe="The other") for step in s) for s in PLAN.states)
    frame = framed(tables.coverage_table(replace(PLAN, also=other, states=states)))
    assert set(frame["lathe"]) == {"The other"}
    answer = states[0][0].answer
    assert answer
    step = half_nut_step(answer.train.ratio, other.leadscrew)
    assert frame["half-nut step mm"][0] == pytest.approx(step, abs=1e-6)


def test_every_button_finds_its_table() -> None:
    page = plan_sheet(PLAN, Facts(), charts=False)
    held = samples.filled(page, "tables")
    assert held == {name: [csv(table)] for name, table in SAVED.items()}
    assert {*re.findall(r'data-csv="?([\w-]+)', page)} <= {*held}


def test_prices_that_only_count_gears_are_not_saved() -> None:
    """Without an offers file no invented price reaches a spreadsheet."""
    plain = tables.plan_tables(replace(PLAN, priced=False))
    for name, heads in (
        ("gears-to-add", ["price"]),
        ("order-of-purchase", ["price", "spent by then"]),
        ("how-sure", ["price"]),
    ):
        for head in heads:
            assert TABLES[name][head].notna().any()
            assert framed(plain[name])[head].isna().all()
