"""A plan as tables for spreadsheets. Lengths mm, loads N for 1 N m at the leadscrew, errors and
allowances fractions; empty where there is no train."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.domain.train import half_nut_step
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.result import Plan, Step
from gearchest.optimizer.search.result import Answer, WantStep
from gearchest.reports.page.tables import COUNT, FLAG, NUMBER, TEXT, SavedTable, near, table
from gearchest.reports.plan.advice_words import step_name
from gearchest.reports.plan.setups_view import serving
from gearchest.reports.plan.why_view import uncovered
from gearchest.reports.words import wording

Row = dict[str, object]

WANT = {
    "name": TEXT, "series": TEXT, "pitch mm": NUMBER, "lead mm": NUMBER, "starts": COUNT,
    "weight": NUMBER, "allowed error": NUMBER,
}  # fmt: skip
ANSWER = {"verdict": "verdict", "error": NUMBER, "train": TEXT}


def want_row(want: Want) -> Row:
    """A want in columns of its own."""
    return {
        "name": want.name,
        "series": want.series,
        "pitch mm": round(want.pitch.mm, 9),
        "lead mm": round(want.pitch.lead_mm, 9),
        "starts": want.pitch.starts,
        "weight": float(want.weight),
        "allowed error": float(want.allowance.relative),
    }


def answer_row(step: WantStep) -> Row:
    """The verdict on a want, and the train to set up with its error."""
    return {"verdict": step.verdict.value, **_train(step.answer)}


def _train(answer: Answer | None) -> Row:
    if answer is None:
        return {}
    return {"error": round(float(answer.error), 12), "train": wording.gears_written(answer.train)}


def headed(head: str, row: Mapping[str, object]) -> Row:
    """The same under heads that say whose they are: "with 43, 84: verdict"."""
    return {f"{head}: {name}": value for name, value in row.items()}


def plan_tables(plan: Plan) -> dict[str, SavedTable]:
    """Every table of a plan's page, by the name its button saves it under."""
    return {
        "coverage-map": map_table(plan),
        "every-thread-and-step": coverage_table(plan),
        "gears-to-add": gears_table(plan),
        "order-of-purchase": order_table(plan),
        "how-sure": proof_table(plan),
        "out-of-reach": left_table(plan),
    }


def map_table(plan: Plan) -> SavedTable:
    """A row a want; verdict, error and train of every step beside one another."""
    heads = [step_name(plan, k) for k in range(len(plan.steps))]
    rows = []
    for want, states in zip(plan.wants, plan.states, strict=True):
        row = want_row(want)
        for head, step in zip(heads, states, strict=True):
            row |= headed(head, answer_row(step))
        rows.append(row)
    columns = dict(WANT)
    for head in heads:
        columns |= {f"{head}: {name}": kind for name, kind in ANSWER.items()}
    return table(rows, columns)


def coverage_table(plan: Plan) -> SavedTable:
    """A row for every want at every step, with all that is known of the train to set up."""
    rows = [
        want_row(want)
        | {"step": k, "added": _added(plan, k)}
        | answer_row(step)
        | _details(plan, step)
        for want, states in zip(plan.wants, plan.states, strict=True)
        for k, step in enumerate(states)
    ]
    return table(
        rows,
        {
            **WANT, "step": COUNT, "added": TEXT, **ANSWER, "covered": FLAG, "lathe": TEXT,
            "levers": TEXT, "gears to add": TEXT, "fits": "fits", "tooth load N": NUMBER,
            "screw turns": NUMBER, "half-nut step mm": NUMBER, "arm degrees": NUMBER,
        },
    )  # fmt: skip


def _added(plan: Plan, number: int) -> str:
    return wording.teeth(added.offer.gear for added in plan.steps[number].gears)


def _details(plan: Plan, step: WantStep) -> Row:
    lathe = serving(plan, step.lathe)
    row: Row = {"covered": step.verdict.covered, "lathe": lathe.name}
    if step.answer:
        train, placement = step.answer.train, step.answer.fit.placement
        row |= {
            "levers": wording.levers(lathe, train.setting),
            "gears to add": wording.teeth(step.answer.missing),
            "fits": step.answer.fit.fits.value,
            "tooth load N": near(train.tooth_load),
            "screw turns": near(train.ratio),
            "half-nut step mm": near(half_nut_step(train.ratio, lathe.leadscrew)),
            "arm degrees": placement and near(placement.arm_angle),
        }
    return row


GEAR = {"teeth": COUNT, "module": NUMBER}


def _gear(gear: Gear) -> Row:
    return {"teeth": gear.teeth, "module": float(gear.module)}


def gears_table(plan: Plan) -> SavedTable:
    """A row for every gear of every step: what it costs, what it opens and what it is worth."""
    rows = [
        {
            "step": k,
            **_gear(added.offer.gear),
            "how": added.offer.how,
            "note": added.offer.note,
            "price": _money(plan, added.offer.price),
            "unlocks alone": "; ".join(added.alone),
            "unlocks with others": "; ".join(name for name, _ in added.together),
            "lost without it": "; ".join(added.unlocks),
            "lost weight": float(added.lost_weight),
        }
        for k, step in enumerate(plan.steps)
        for added in step.gears
    ]
    return table(
        rows,
        {
            "step": COUNT, **GEAR, "how": TEXT, "note": TEXT, "price": NUMBER,
            "unlocks alone": TEXT, "unlocks with others": TEXT, "lost without it": TEXT,
            "lost weight": NUMBER,
        },
    )  # fmt: skip


def order_table(plan: Plan) -> SavedTable:
    """The gears of the step to buy in the best order to get them, with what is spent by then."""
    last, before = plan.steps[plan.bought], plan.steps[0].covered_weight
    offers = _offers(last)
    rows: list[Row] = []
    spent = Fraction(0)
    for gear, weight in last.order:
        offer = offers[gear].pop(0)
        spent += offer.price
        rows.append(
            {
                "turn": len(rows) + 1,
                **_gear(gear),
                "how": offer.how,
                "note": offer.note,
                "price": _money(plan, offer.price),
                "spent by then": _money(plan, spent),
                "weight covered then": float(weight),
                "gain": float(weight - before),
            }
        )
        before = weight
    return table(
        rows,
        {
            "turn": COUNT, **GEAR, "how": TEXT, "note": TEXT, "price": NUMBER,
            "spent by then": NUMBER, "weight covered then": NUMBER, "gain": NUMBER,
        },
    )  # fmt: skip


def _money(plan: Plan, amount: Fraction) -> float | None:
    """Nothing where prices only count gears."""
    return float(amount) if plan.priced else None


def _offers(step: Step) -> dict[Gear, list[Offer]]:
    """What each gear comes from, the cheapest copy first."""
    found: dict[Gear, list[Offer]] = {}
    for offer in sorted((added.offer for added in step.gears), key=lambda offer: offer.price):
        found.setdefault(offer.gear, []).append(offer)
    return found


def proof_table(plan: Plan) -> SavedTable:
    """A row a step: what it covers and costs, what no set can beat, and what comes close."""
    rows = [
        {
            "step": k,
            "gears": _added(plan, k),
            "price": _money(plan, step.price),
            "covered": step.covered,
            "wanted": step.wanted,
            "weight": float(step.covered_weight),
            "weight at most": float(step.bound_weight),
            "proven": step.proven,
            "proven by": step.proven_by,
            "stopped by": step.stopped_by,
            "next best": wording.teeth(step.next_best.gears) if step.next_best else "",
            "covers as much": "; ".join(map(wording.teeth, step.equally_good)),
            **{one.objective: float(one.value) for one in step.judged},
            **{f"{one.objective} at least": float(one.bound) for one in step.judged},
        }
        for k, step in enumerate(plan.steps)
    ]
    aims = [f"{aim}{bound}" for aim in plan.aims for bound in ("", " at least")]
    return table(
        rows,
        {
            "step": COUNT, "gears": TEXT, "price": NUMBER, "covered": COUNT, "wanted": COUNT,
            "weight": NUMBER, "weight at most": NUMBER, "proven": FLAG, "proven by": TEXT,
            "stopped by": TEXT, "next best": TEXT, "covers as much": TEXT,
            **dict.fromkeys(aims, NUMBER),
        },
    )  # fmt: skip


def left_table(plan: Plan) -> SavedTable:
    """A row for every want the last step leaves uncovered: its nearest train, why that is not
    enough, and the fewest further gears that would do."""
    further = {one.want: one.gears for one in plan.steps[-1].further}
    rows = [
        want_row(want)
        | answer_row(miss)
        | {
            "why not": "; ".join(map(str, miss.answer.fit.misfits)) if miss.answer else "",
            "further gears": wording.teeth(further.get(want.name, ())),
        }
        for want, miss in uncovered(plan)
    ]
    return table(rows, {**WANT, **ANSWER, "why not": TEXT, "further gears": TEXT})
