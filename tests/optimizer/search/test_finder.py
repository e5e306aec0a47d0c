"""What is remembered is what would be found afresh, whatever is changed in between."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from gearchest.catalogs.making import making_tables
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import want_from
from gearchest.optimizer.domain.gear import Offer
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.planner import Question, make_plan
from gearchest.optimizer.plan.result import Plan
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search import finder
from gearchest.optimizer.search.finder import AFRESH, Finder, Remembering

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
