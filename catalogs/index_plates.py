"""Index plates in common use, and a head's circles sorted onto them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from gearchest.catalogs.tables import rows
from gearchest.optimizer.domain.lathe import DividingHead


@cache
def index_plates() -> tuple[tuple[int, ...], ...]:
    """The circles of each plate in common use."""
    return tuple(
        tuple(int(circle) for circle in row["circles"].split())
        for row in rows("gear_making", "index_plates.csv")
    )


def with_plates(head: DividingHead) -> DividingHead:
    """The head with its circles sorted onto plates, as far as they are plates in common use.

    Circles left over are taken as one plate of their own; a head none of whose plates is
    known keeps its circles unsorted.
    """
    if head.plates:
        return head
    circles = set(head.circles)
    known = tuple(plate for plate in index_plates() if circles.issuperset(plate))
    left = tuple(sorted(circles.difference(*known)))
    if not known:
        return head
    return replace(head, plates=(*known, left) if left else known)
