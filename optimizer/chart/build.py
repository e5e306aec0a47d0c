"""The whole way from a lathe and its wants to a chart."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from gearchest.optimizer.arm.placement import fit
from gearchest.optimizer.chart.candidates import Candidates, candidates
from gearchest.optimizer.chart.result import Change, ChartRow, ChartSetup, GearChart
from gearchest.optimizer.chart.share import ChartOrder, Pace, share
from gearchest.optimizer.domain.gear import Gear
from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.stock import owned_gears
from gearchest.optimizer.domain.train import Setting, Train
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.search.answers import answer
from gearchest.optimizer.search.asking import SearchStoppedError
from gearchest.optimizer.search.reach import Bench
from gearchest.optimizer.search.result import Reach, WantStep
from gearchest.optimizer.turning.setup import Wishes, setup


def make_chart(
    lathe: Lathe,
    wants: Sequence[Want],
    added: Sequence[Gear] = (),
    watch: Watch | None = None,
    pace: Pace = Pace.USUAL,
    *,
    states: Sequence[WantStep] = (),
) -> GearChart:
    """The chart with the fewest gears put on that was found; `pace` as of `share`. `states`:
    what is known already of each want with these gears, nothing where it is not. Raises
    `SearchStoppedError` where the watch ends the work before there is any chart."""
    watch = watch or Watch()

    def ask() -> None:
        if watch.over:
            raise SearchStoppedError

    found = candidates(lathe, wants, added, ask)
    shared = share(found.question, watch, pace)
    return _Build(lathe, wants, tuple(added), found).chart(shared, watch, states)


class _Build:
    def __init__(
        self, lathe: Lathe, wants: Sequence[Want], added: tuple[Gear, ...], found: Candidates
    ) -> None:
        self.lathe = lathe
        self.wants = wants
        self.added = added
        self.found = found
        self.owned = owned_gears(lathe)

    def chart(self, shared: ChartOrder, watch: Watch, states: Sequence[WantStep]) -> GearChart:
        """The chart of setups in their order."""
        order, chosen = self._chosen(shared.order)
        rows = self._rows(order, chosen, states)
        trains = [_hung(next(row for row in rows if row.setup == k)) for k in range(len(order))]
        usual = self.lathe.usual_train
        setups = tuple(
            ChartSetup(
                train,
                fit(self.lathe, train),
                train.missing(self.owned),
                changes(before, train),
                tuple(number for number, row in enumerate(rows) if row.setup == k),
            )
            for k, (before, train) in enumerate(pairwise([usual, *trains]))
            if train is not None
        )
        alone = [one.alone.train for one in rows if one.alone is not None]
        return GearChart(
            self.lathe,
            self.added,
            setups,
            rows,
            changes(trains[-1], usual) if usual and trains else (),
            _put_on(trains, usual),
            shared.bound,
            _put_on(alone, usual),
            len({(train.layout, train.gears) for train in alone}),
            shared.weighed,
            watch.why,
        )

    def _chosen(self, order: Sequence[int]) -> tuple[list[int], list[int]]:
        """The setups that are needed, and by kind of thread which of them serves it: the one of
        fewest demerits, of equals the first."""
        demerits = self.found.question.demerits[list(order)]
        serving = [order[k] for k in demerits.argmin(axis=0).tolist()] if len(order) else []
        needed = [setup for setup in order if setup in serving]
        return needed, serving

    def _rows(
        self, order: Sequence[int], chosen: Sequence[int], states: Sequence[WantStep]
    ) -> tuple[ChartRow, ...]:
        rows: dict[int, ChartRow] = {}
        for kind, (wants, taken) in enumerate(zip(self.found.kinds, chosen, strict=True)):
            train, alone = self.found.train(kind, taken), self.found.best(kind)
            for number in wants:
                rows[number] = self._row(self.wants[number], order.index(taken), train, alone)
        bench = None if states else Bench(self.lathe, self.added)
        for number in self.found.uncovered:
            want = self.wants[number]
            state = bench.settle(want) if bench else states[number]
            rows[number] = ChartRow(want, state.verdict)
        return tuple(rows[number] for number in range(len(self.wants)))

    def _row(self, want: Want, number: int, train: Train, alone: Train) -> ChartRow:
        own = answer(self.lathe, want, train, self.owned)
        by_itself = answer(self.lathe, want, alone, self.owned)
        reached = Reach(want, own.verdict, own, None, None, (own,), ())
        sheet = setup(self.lathe, want, reached, Wishes())
        return ChartRow(want, own.verdict, number, own, by_itself, sheet.half_nuts, sheet.working)


def changes(before: Train | None, after: Train) -> tuple[Change, ...]:
    """What is taken off and put on, place by place from the first driver's shaft; the screw's is
    the last."""
    hung = before.hung if before else {}
    places = sorted({*hung, *after.hung}, key=lambda place: (place[0] < 0, place))
    return tuple(
        Change(*place, hung.get(place), after.hung.get(place))
        for place in places
        if hung.get(place) != after.hung.get(place)
    )


def _put_on(trains: Sequence[Train], usual: Train | None) -> int:
    """Gears put on from the usual train, or from nothing, over all of them, and back."""
    if not trains:
        return 0
    count = sum(train.put_on(before) for before, train in pairwise([usual, *trains]) if train)
    return count + (usual.put_on(trains[-1]) if usual else 0)


def _hung(row: ChartRow) -> Train:
    """What hangs, whatever the levers say."""
    assert row.answer is not None
    train = row.answer.train
    return Train(train.layout, train.drivers, train.driven, train.idlers, Setting())
