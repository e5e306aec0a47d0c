"""What one weight may cost, as typed: refused before anything is searched for."""

from __future__ import annotations

from pathlib import Path

import pytest

from gearchest.cli.faults import FaultsError
from gearchest.cli.plan_command import plan
from gearchest.cli.plan_options import PlanOptions
from gearchest.cli.typed import money

SMALL = Path(__file__).parents[1] / "bench" / "small"


def refusal(call: object, *arguments: object, **named: object) -> str:
    with pytest.raises(FaultsError) as raised:
        call(*arguments, **named)  # type: ignore[operator]
    return str(raised.value)


@pytest.mark.parametrize(
    ("typed", "why"),
    [("-3", "negative"), ("much", "much"), ("", "--worth"), ("3 4", "3 4")],
)
def test_what_is_no_amount_is_refused_by_its_option(typed: str, why: str) -> None:
    told = refusal(money, typed, "--worth")
    assert "--worth" in told
    assert why in told


def refused_plan(folder: Path, offers: Path | None, worth: str) -> str:
    """What is said of a plan with this worth of a weight."""
    return refusal(
        plan,
        lathe=SMALL / "lathe.toml",
        wants=SMALL / "wants.csv",
        offers=offers,
        out=folder / "plan.html",
        json=None,
        options=PlanOptions(worth=money(worth, "--worth")),
    )


def test_without_offers_there_is_nothing_to_hold_it_against(tmp_path: Path) -> None:
    told = refused_plan(tmp_path, None, "3")
    assert "--worth" in told
    assert "name an offers file with --offers" in told


def test_another_currency_than_the_prices_have_is_refused(tmp_path: Path) -> None:
    offers = tmp_path / "offers.csv"
    offers.write_text("Teeth;Price (EUR)\n85;3,00\n", encoding="utf-8")
    told = refused_plan(tmp_path, offers, "$3")
    assert "--worth" in told
    assert "€" in told
    assert not (tmp_path / "plan.html").exists()
