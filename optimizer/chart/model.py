"""The constraint model of a chart: which setups are hung, and which follow one another with one
gear put on, or none. Every other step counts as two gears, so that the model finds no more than any
chart needs: a bound, and setups worth trying. One place per constraint.

With every step told for what it is the solver gets nowhere: 97 setups, bound 24 of 27 after 10 s;
with steps of one gear alone 26 after 1 s.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

import numpy as np
from ortools.sat.python import cp_model

from gearchest.optimizer.chart.question import EMPTY, ChartQuestion

Literal = cp_model.IntVar
Linear = cp_model.LinearExprT

FAR = 2
"""Gears put on in a step that is not told in the model."""


class ChartModel:
    """The model over one question. `hung[s]`: setup s is."""

    def __init__(self, question: ChartQuestion) -> None:
        self.question = question
        self.model = cp_model.CpModel()
        self.hung = [self.model.new_bool_var(f"hung_{s}") for s in range(len(question))]
        self.changes = self.model.new_int_var(0, 1 << 20, "changes")
        self._serve_every_thread()
        steps = self._follow_one_another()
        self.model.add(self.changes >= steps)
        self.model.add(self.changes >= self._gears_put_on_once())
        self.model.minimize(self.changes)

    def _serve_every_thread(self) -> None:
        """Every thread has one of its setups."""
        for thread in self.question.threads:
            self.model.add(sum(self.hung[s] for s in thread.setups.tolist()) >= 1)

    def _follow_one_another(self) -> Linear:
        """Setups hang in chains in which each step puts on one gear or none; a first chain follows
        the start, the others follow a step of `FAR` gears, and one comes last."""
        question, model = self.question, self.model
        arcs: list[tuple[int, int, Literal | cp_model.LiteralT]] = []
        count: list[Linear] = []
        starts, ends = [], []
        for s, hung in enumerate(self.hung):
            start, far, begins, end, out = (
                model.new_bool_var(f"{name}_{s}")
                for name in ("start", "far", "begins", "end", "out")
            )
            model.add(start + far == begins)
            model.add_implication(end, out)
            arcs += [(s + 1, s + 1, hung.negated()), (0, s + 1, begins), (s + 1, 0, out)]
            count += [int(question.first[s]) * start, FAR * far, int(question.last[s]) * end]
            starts.append(start)
            ends.append(end)
            steps = question.after(s)
            for then in np.flatnonzero(steps < FAR).tolist():
                if then != s:
                    follows = model.new_bool_var(f"follows_{s}_{then}")
                    arcs.append((s + 1, then + 1, follows))
                    count.append(int(steps[then]) * follows)
        model.add_exactly_one(starts)
        model.add_exactly_one(ends)
        model.add_multiple_circuit(arcs)
        return sum(count)

    def _gears_put_on_once(self) -> Linear:
        """Whatever hangs somewhere and not at the start is put on once at least; and once what hung
        at the start, where that is to hang again and something else did, or nothing."""
        question, model = self.question, self.model
        kinds: dict[tuple[int, int], list[int]] = defaultdict(list)
        for setup, place in np.argwhere(question.gears != question.start).tolist():
            gear = int(question.gears[setup, place])
            if gear != EMPTY:
                kinds[place, gear].append(setup)
            if question.back and question.start[place] != EMPTY:
                kinds[place, EMPTY].append(setup)
        once = []
        for (place, gear), setups in kinds.items():
            used = model.new_bool_var(f"used_{place}_{gear}")
            for setup in setups:
                model.add_implication(self.hung[setup], used)
            once.append(used)
        return sum(once)

    def at_most(self, order: Sequence[int]) -> None:
        """Start from a chart, and look for none that needs more gears put on."""
        self.model.add(self.changes <= self.question.changes(order))
        for s, hung in enumerate(self.hung):
            self.model.add_hint(hung, s in order)
