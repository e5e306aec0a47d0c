"""What `gearchest plan` can be asked beyond files and steps, as typed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from gearchest.cli.aims import aims_of
from gearchest.cli.faults import nearest
from gearchest.cli.files.amounts import Amount
from gearchest.cli.files.offers import Offered
from gearchest.cli.typed import number, refused
from gearchest.optimizer.domain.gear import Gear, Offer
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.formulate import Terms
from gearchest.optimizer.plan.goal import Cover


@dataclass(frozen=True)
class PlanOptions:
    """Options of `gearchest plan`; empty or None where not given.

    `include`, `keep_out`: tooth counts. `also`: a second lathe that shares the chest.
    `cover`: "all", a share ("90 %"), or names of wants, each once. `aims`: the order of the
    aims after covered weight, as in "money,demerits". `missing`: trains lacking more gears
    are not looked for. `sell`: say which gears owned could be sold. `time_limit` in s.
    `left`: take every want for a left-hand thread. `workers`: threads, None for one a
    processor. At most `most` gears are added (None: while that covers more, see `solve.MOST`),
    for at most `budget`. `worth`: money that one weight covered is worth, None for what the
    offers say (see `advice`).
    """

    include: tuple[int, ...] = ()
    keep_out: tuple[int, ...] = ()
    also: Path | None = None
    cover: tuple[str, ...] = ()
    aims: str | None = None
    missing: int | None = None
    sell: bool = False
    time_limit: float | None = None
    left: bool = False
    most: int | None = None
    budget: Amount | None = None
    worth: Amount | None = None
    workers: int | None = None
    charts: bool = True
    what_if: bool = True


def terms_of(options: PlanOptions, offered: Offered) -> Terms:
    """The conditions on the gears; raises `FaultsError` for gears nobody offers, and for a budget
    in another currency than the prices."""
    offers, budget = offered.offers, options.budget
    for option, money in (("--budget", budget), ("--worth", options.worth)):
        if money and money.currency and offered.currency not in ("", money.currency):
            raise refused(
                option, str(money), f"the prices of the offers are in {offered.currency}",
                fix=f"say it in {offered.currency}",
            )  # fmt: skip
    include = [_offered(teeth, "--include", offers)[0] for teeth in options.include]
    keep_out = [g for teeth in options.keep_out for g in _offered(teeth, "--keep-out", offers)]
    for teeth in sorted({*options.include} & {*options.keep_out}):
        raise refused(
            "--include", str(teeth), "this gear is to be included and kept out", fix="drop one"
        )
    most = budget.value if budget else None
    return Terms(most, tuple(include), frozenset(keep_out), aims_of(options.aims))


def cover_of(asked: tuple[str, ...], wants: Sequence[Want]) -> Cover | None:
    """What is to be covered; raises `FaultsError` for names no want has."""
    if not asked:
        return None
    places = {want.name: i for i, want in enumerate(wants)}
    chosen: set[int] = set()
    share = Fraction(0)
    for text in asked:
        if text in places:
            chosen.add(places[text])
        elif text.casefold() == "all":
            chosen.update(places.values())
        elif text.rstrip().endswith("%"):
            share = max(share, _share(text))
        else:
            near = nearest(text, places)
            raise refused(
                "--cover", text, "this is no want's name", allowed='"all", "90 %" or a name',
                fix=f'"{near}" may be meant' if near else "take a name from the wants file",
            )  # fmt: skip
    return Cover(", ".join(asked), frozenset(chosen), share)


def _share(text: str) -> Fraction:
    percent = number(text.rstrip().removesuffix("%"), "--cover")
    if not 0 < percent <= 100:
        raise refused("--cover", text, "a share is more than 0 % and at most 100 %")
    return percent / 100


def _offered(teeth: int, option: str, offers: tuple[Offer, ...]) -> list[Gear]:
    gears = list(dict.fromkeys(offer.gear for offer in offers if offer.gear.teeth == teeth))
    if not gears:
        raise refused(
            option, str(teeth), "no gear of this tooth count is on offer",
            fix="add it to the offers file, or leave the option out",
        )  # fmt: skip
    return gears
