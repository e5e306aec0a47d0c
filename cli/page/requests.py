"""What programs may ask under /api/: the options of each command, as keys."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from gearchest.cli.files.fields import Positive, Table, Teeth, Text, YesNo, exact, real, whole
from gearchest.optimizer.domain.layout import most_gears, most_studs


def _listed(value: Any) -> Any:
    return value if isinstance(value, list) else [value]


Texts = Annotated[tuple[Text, ...], BeforeValidator(_listed)]
Counts = Annotated[tuple[Teeth, ...], BeforeValidator(_listed)]
Money = Annotated[Any, exact(least=0, most=1_000_000)]


class PlanAsked(Table):
    """Options of plan."""

    most: Annotated[int, whole(least=0, most=12)] | None = None
    budget: Money | None = None
    worth: Money | None = None
    include: Counts = ()
    keep_out: Counts = ()
    cover: Texts = ()
    aims: Text | None = None
    missing: Annotated[int, whole(least=0, most=most_gears(most_studs()))] | None = None
    sell: YesNo = False
    time_limit: Positive | None = None
    left: YesNo = False


class ReachAsked(Table):
    """Options of reach; `pitches`: what is asked about, unless `wants` say it."""

    pitches: Texts = ()
    use: Text | None = None
    tolerance: Text | None = None
    grade: Text | None = None
    mating: YesNo = False
    diameter: Text | None = None
    left: YesNo = False
    every: YesNo = Field(False, alias="all")
    aims: Text | None = None


class SetupAsked(Table):
    """Options of setup."""

    pitch: Text
    diameter: Text | None = None
    length: Text | None = None
    left: YesNo = False
    inside: YesNo = False
    engaged: Text | None = None
    tip: Text | None = None
    class_name: Text | None = Field(None, alias="class")
    use: Text | None = None
    tolerance: Text | None = None
    grade: Text | None = None
    mating: YesNo = False
    form: Text | None = None
    run_out: Text | None = None
    load: Text | None = None
    free_length: Text | None = None
    ends: Text | None = None
    force: Text | None = None
    radius: Text | None = None
    friction: Text | None = None
    nut: Text | None = None
    nut_material: Text | None = None
    material: Text | None = None
    tool: Text | None = None
    cutter: Text | None = None
    crank_force: Text | None = None
    drive: Text | None = None
    train: Text | None = None
    gearbox: Text | None = None
    aims: Text | None = None


class CompareAsked(Table):
    """Compare has no options."""


class BlanksAsked(Table):
    """Options of blanks."""

    teeth: Annotated[Counts, Field(min_length=1, max_length=100)]
    shift: Annotated[float, real("modules", least=-1, most=1)] = 0.0
    cure: YesNo = False
    backlash: Text | None = None
    engraved_depth: Text | None = None
    outline_offset: Text | None = None
    hub: Annotated[Texts, Field(min_length=2, max_length=2)] | None = None


class ChartAsked(Table):
    """Options of chart; `with`: gears added to those owned."""

    added: Counts = Field((), alias="with")
    time_limit: Positive | None = None


class ThreadsAsked(Table):
    """Options of threads: a series to list, or what was measured."""

    series: Text | None = None
    measured: Text | None = None
    diameter: Text | None = None
    inside: YesNo = False
    left: YesNo = False
    starts: Annotated[int, whole(least=1, most=100)] | None = None
    angle: Text | None = None
    length_error: Text | None = None
    diameter_error: Text | None = None


class CheckAsked(Table):
    """Check has no options."""


ASKED: dict[str, type[Table]] = {
    "plan": PlanAsked,
    "reach": ReachAsked,
    "setup": SetupAsked,
    "compare": CompareAsked,
    "blanks": BlanksAsked,
    "chart": ChartAsked,
    "threads": ThreadsAsked,
    "check": CheckAsked,
}
"""By command."""

TAKES: dict[str, tuple[str, ...]] = {
    "plan": ("lathe", "also", "wants", "offers"),
    "reach": ("lathe", "wants"),
    "setup": ("lathe",),
    "compare": ("lathes", "wants"),
    "blanks": ("lathe", "wants"),
    "chart": ("lathe", "wants"),
    "threads": ("lathe",),
    "check": ("lathe", "wants", "offers"),
}
"""What a request of each command holds beside its options."""
