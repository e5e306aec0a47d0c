"""What a chart answers: which gears hang where for each thread, and what is changed on the way."""

from __future__ import annotations

from dataclasses import dataclass

from gearchest.optimizer.arm.result import Fit
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.train import Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.result import Answer, Verdict
from gearchest.optimizer.turning.half_nuts import HalfNuts
from gearchest.optimizer.turning.working import Working


@dataclass(frozen=True)
class Change:
    """What happens at a place (shaft and plane, see `Layout.places`): a gear taken off, one put
    on, or both; None for none."""

    shaft: int
    plane: int
    off: Gear | None
    on: Gear | None


@dataclass(frozen=True)
class ChartSetup:
    """What hangs on the lathe for some threads. `train` without levers, `fit` on the arm;
    `missing`: gears it takes that are not owned; `changed` after what hung before; `rows`: numbers
    of the rows it serves."""

    train: Train
    fit: Fit
    missing: tuple[Gear, ...]
    changed: tuple[Change, ...]
    rows: tuple[int, ...]

    @property
    def put_on(self) -> int:
        """Gears put on."""
        return sum(change.on is not None for change in self.changed)


@dataclass(frozen=True)
class ChartRow:
    """One thread. `setup`: the number of its setup, counted from 0; `answer`: its train there, with
    levers, and `alone` the one it would be set up with by itself; all three None where no train of
    the gears at hand covers it, and `half_nuts` and `working` too. `verdict`: of `answer`, else
    why there is none."""

    want: Want
    verdict: Verdict
    setup: int | None = None
    answer: Answer | None = None
    alone: Answer | None = None
    half_nuts: HalfNuts | None = None
    working: Working | None = None


@dataclass(frozen=True)
class GearChart:
    """The chart of a lathe with some gears `added`. `setups` as they follow one another; `rows` in
    the order of the wants. `back`: what is changed after the last setup, to the usual train.

    `changes`: gears put on, from the usual train where the file names one, else from nothing, over
    all setups, and back; no chart needs fewer than `bound`. `changes_alone`: the same where each
    thread takes its own best train in the order of the rows; `setups_alone`: how many those are.
    `least_demerits`: of charts with so few changes none has fewer demerits. `stopped_by` is ""
    where nothing cut the work short."""

    lathe: Lathe
    added: tuple[Gear, ...]
    setups: tuple[ChartSetup, ...]
    rows: tuple[ChartRow, ...]
    back: tuple[Change, ...]
    changes: int
    bound: int
    changes_alone: int
    setups_alone: int
    least_demerits: bool
    stopped_by: str = ""

    @property
    def proven(self) -> bool:
        """Whether no chart needs fewer gears put on."""
        return self.changes == self.bound

    @property
    def covered(self) -> tuple[ChartRow, ...]:
        """The rows that have a setup."""
        return tuple(row for row in self.rows if row.setup is not None)

    @property
    def demerits(self) -> tuple[int, int]:
        """Of all threads together: each by itself, and with setups shared."""
        pairs = [(row.alone, row.answer) for row in self.covered]
        alone = sum(one.merit.demerits for one, _ in pairs if one)
        return alone, sum(one.merit.demerits for _, one in pairs if one)
