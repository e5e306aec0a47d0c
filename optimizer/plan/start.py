"""Good sets found quickly: a start for the provers, and an answer where no proof is reached."""

from __future__ import annotations

from gearchest.optimizer.plan.problem import Chosen, Problem
from gearchest.optimizer.plan.watch import Watch
from gearchest.optimizer.plan.worth import Rank, rank, worth


def included_first(problem: Problem, most: int) -> Chosen:
    """The gears that must be in, as many as there is room for: a set that keeps the terms."""
    return problem.include[:most]


def grow(problem: Problem, chosen: Chosen, most: int, watch: Watch) -> Chosen:
    """Add the best gear at a time to a set, up to `most`, while that helps; then change one
    gear at a time for a better one. The result keeps the terms if anything does."""
    best = max(
        (
            start
            for start in (chosen, included_first(problem, most))
            if problem.allowed(start, most)
        ),
        key=len,
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
