"""Whether pitches can be cut, as a JSON document."""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.result import Addition, Reach
from gearchest.reports.trains.document import Json, optional_train, want_document


def reach_document(lathe: Lathe, found: Sequence[Reach], notes: Sequence[str] = ()) -> Json:
    """Whether pitches can be cut. Errors and allowances are fractions, lengths mm; `notes`:
    what was not considered among the additions."""
    return {
        "kind": "reach",
        "version": 1,
        "lathe": lathe.name,
        "pitches": [_reach(lathe, one) for one in found],
        "notes": list(notes),
    }


def _reach(lathe: Lathe, one: Reach) -> Json:
    return {
        **want_document(one.want),
        "verdict": one.verdict.value,
        "best": optional_train(lathe, one.want, one.best),
        "closest": optional_train(lathe, one.want, one.closest),
        "easiest": optional_train(lathe, one.want, one.easiest),
        "trains": [optional_train(lathe, one.want, answer) for answer in one.trains],
        "additions": [_addition(lathe, one.want, addition) for addition in one.additions],
        "misfit": optional_train(lathe, one.want, one.misfit),
        "cures": list(one.cures),
    }


def _addition(lathe: Lathe, want: Want, addition: Addition) -> Json:
    return {
        "gears": [gear.teeth for gear in addition.gears],
        "train": optional_train(lathe, want, addition.answer),
    }
