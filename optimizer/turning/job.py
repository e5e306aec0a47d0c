"""What cautions depend on."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from gearchest.optimizer.domain.lathe import Nose
from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.domain.want import Allowance
from gearchest.optimizer.search.result import Answer
from gearchest.optimizer.turning.driving import Turning
from gearchest.optimizer.turning.half_nuts import HalfNuts, How
from gearchest.optimizer.turning.pressing import Pressing
from gearchest.optimizer.turning.shaping import Shaping
from gearchest.optimizer.turning.sizes import Sizes
from gearchest.optimizer.turning.speed import Speed
from gearchest.optimizer.turning.working import Working


@dataclass(frozen=True)
class Job:
    """`thread`: the catalog's, None where only a pitch was given. `mating`, `engaged` (mm) and
    `screw_error` as the want and the lathe have them; `tapped`: no cutter passes the bore.
    `answer` None: no train at all, and `turning` and `half_nuts` are None then too; `chosen`: the
    reader chose it; `in_tolerance`: it keeps the thread's allowance and mounts; `plastics`:
    materials of its gears. `length` of thread, `run_out` and the train's `lead` in mm, the first
    None where not asked."""

    name: str
    thread: Thread | None
    allowance: Allowance
    sizes: Sizes
    shaping: Shaping
    working: Working
    speed: Speed
    nose: Nose | None = None
    mating: bool = False
    engaged: float | None = None
    tapped: bool = False
    screw_error: Fraction | None = None
    length: float | None = None
    run_out: float = 0.0
    answer: Answer | None = None
    chosen: bool = False
    in_tolerance: bool = False
    plastics: frozenset[str] = frozenset()
    turning: Turning | None = None
    half_nuts: HalfNuts | None = None
    pressing: Pressing | None = None

    @property
    def pipe(self) -> bool:
        """Whether the thread comes from a catalog of pipe threads."""
        return self.thread is not None and self.thread.series.startswith("pipe")

    @property
    def reversed(self) -> bool:
        """Whether the carriage comes back by reversing the spindle under power."""
        nuts = self.half_nuts
        return self.working.powered and nuts is not None and nuts.how is How.CLOSED
