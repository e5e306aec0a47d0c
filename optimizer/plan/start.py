"""Good sets found quickly: a start for the provers, and an answer where no proof is reached."""

from __future__ import annotations

import numpy as np

from gearchest.optimizer.domain.arrays import Bools, Ints
from gearchest.optimizer.plan.problem import PAD, Chosen, Problem
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.worth import Rank, rank, worth


def included_first(problem: Problem, most: int) -> Chosen:
    """The gears that must be in, as many as there is room for: a set that keeps the terms."""
    return problem.include[:most]


def greedy(problem: Problem, chosen: Chosen, most: int) -> Chosen:
    """Add to a set, again and again, the fewest gears that cover a further want, of those that
    cover most weight, while there is room. Quick whatever the clock says."""
    options = problem.options
    while len(chosen) < most:
        counts = np.zeros(len(problem.candidates) + 1, dtype=np.int64)
        np.add.at(counts, np.array(chosen, dtype=np.int64), 1)
        lacked = np.where(options.repeat > counts[options.missing], options.missing, PAD)
        number = (lacked != PAD).sum(axis=1)
        further = ~np.isin(options.want, options.want[number == 0])
        further &= number <= most - len(chosen)
        better = _most_weight(problem, chosen, lacked, number, further, most)
        if better is None:
            break
        chosen = better
    return chosen


def _most_weight(
    problem: Problem, chosen: Chosen, lacked: Ints, number: Ints, further: Bools, most: int
) -> Chosen | None:
    """The set with the fewest more gears, and of those the one that covers most more."""
    for few in np.unique(number[further]).tolist():
        rows = np.flatnonzero(further & (number == few))
        gears = -np.sort(-lacked[rows], axis=1)[:, :few]
        pairs = np.unique(np.column_stack([gears, problem.options.want[rows]]), axis=0)
        sets, of = np.unique(pairs[:, :few], axis=0, return_inverse=True)
        weight = np.bincount(of.ravel(), problem.weights[pairs[:, few]])
        for at in np.argsort(-weight, kind="stable"):
            grown = tuple(sorted((*chosen, *sets[at].tolist())))
            if problem.allowed(grown, most):
                return grown
    return None


def grow(problem: Problem, chosen: Chosen, most: int, watch: Watch) -> Chosen:
    """Add the best gear at a time to a set, up to `most`, while that helps; then change one
    gear at a time for a better one. The result keeps the terms if anything does."""
    best = min(
        (
            start
            for start in (
                chosen,
                included_first(problem, most),
                greedy(problem, chosen, most),
                greedy(problem, included_first(problem, most), most),
            )
            if problem.allowed(start, most)
        ),
        key=lambda start: _rank(problem, start),
    )
    while not watch.over:
        better = _best_of(problem, best, _neighbours(problem, best, most), watch)
        if better == best:
            break
        best = better
    return best


def _neighbours(problem: Problem, chosen: Chosen, most: int) -> list[Chosen]:
    """Every set with one gear more, or one gear changed when the set is full."""
    bases = [chosen]
    if len(chosen) == most:
        bases = [chosen[:i] + chosen[i + 1 :] for i in range(len(chosen))]
    grown = {tuple(sorted((*base, c))) for base in bases for c in range(len(problem.candidates))}
    return sorted(near for near in grown if problem.allowed(near, most))


def _best_of(problem: Problem, chosen: Chosen, others: list[Chosen], watch: Watch) -> Chosen:
    best, best_rank = chosen, _rank(problem, chosen)
    for other in others:
        if watch.over:
            break
        other_rank = _rank(problem, other)
        if other_rank < best_rank:
            best, best_rank = other, other_rank
    return best


def _rank(problem: Problem, chosen: Chosen) -> Rank:
    return rank(problem, chosen, worth(problem, chosen))
