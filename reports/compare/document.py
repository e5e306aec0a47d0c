"""Two lathes side by side as a JSON document."""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.search.compare import Comparison
from gearchest.reports.compare.verdict import kinder_on
from gearchest.reports.trains.document import Json, optional_train, want_document


def compare_document(found: Comparison, notes: Sequence[Sequence[str]] = ((), ())) -> Json:
    """What both lathes, each lathe alone and neither covers, and the gears that would help.

    `better`: for each lathe the threads both cut that it does better where it matters: the other
    is `overloaded`, or it alone is `exact`. `additions` leaves out wants for which no set of
    gears was found; `notes`: for each lathe what was not considered among them.
    """
    return {
        "kind": "compare",
        "version": 1,
        "lathes": list(found.names),
        "pitches": [
            {
                **want_document(want),
                "lathes": [
                    {
                        "verdict": s.verdict.value,
                        "train": optional_train(lathe, want, s.answer),
                        "without_error": optional_train(lathe, want, s.without_error),
                    }
                    for lathe, s in zip(found.lathes, pair, strict=True)
                ],
            }
            for want, pair in zip(found.wants, found.states, strict=True)
        ],
        "better": [
            [
                *({"name": want.name, "why": "overloaded"} for want, _ in over),
                *({"name": want.name, "why": "exact"} for want, _ in exact),
            ]
            for over, exact in (
                [kinder_on(found, side, overload=why) for why in (True, False)] for side in (0, 1)
            )
        ],
        "only": [[want.name for want in found.only(side)] for side in (0, 1)],
        "both": [want.name for want in found.both],
        "neither": [want.name for want in found.neither],
        "additions": [
            [
                {
                    "name": up.want,
                    "gears": [gear.teeth for gear in up.gears],
                    "overloaded": up.overloaded,
                }
                for up in side
                if up.gears
            ]
            for side in found.upgrades
        ],
        "shared_gears": [gear.teeth for gear in found.shared],
        "notes": [list(side) for side in notes],
    }
