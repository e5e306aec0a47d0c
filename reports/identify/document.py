"""An unknown thread as a JSON document: what it can be, and how to tell the first two apart."""

from __future__ import annotations

from collections.abc import Sequence

from gearchest.optimizer.domain.lathe import Lathe
from gearchest.optimizer.domain.want import Want
from gearchest.optimizer.search.result import WantStep
from gearchest.optimizer.threads.forms import FORMS
from gearchest.optimizer.threads.identify import Candidate, Identification
from gearchest.optimizer.threads.measurement import Measured
from gearchest.optimizer.threads.tell_apart import Apart
from gearchest.reports.trains.document import Json, optional_train

Cut = tuple[Want, WantStep]
"""A candidate as a thread to cut, and whether this lathe does."""


def identify_document(
    found: Identification, apart: Apart | None, lathe: Lathe | None = None, cuts: Sequence[Cut] = ()
) -> Json:
    """Lengths in mm; errors (measured - catalogued) / catalogued, of a lead where turns were
    counted. `cuts` go with the first candidates; those beyond have no verdict."""
    candidates = [_candidate(candidate) for candidate in found.candidates]
    if lathe is not None:
        for candidate, (want, state) in zip(candidates, cuts, strict=False):
            candidate["verdict"] = state.verdict.value
            candidate["train"] = optional_train(lathe, want, state.answer)
    return {
        "kind": "identify",
        "version": 1,
        "measured": _measured(found.measured),
        "lathe": lathe and lathe.name,
        "candidates": candidates,
        "tell_apart": apart and _apart(apart),
        "recounts": [
            {"threads": recount.threads, "name": recount.candidate.thread.name}
            for recount in found.recounts
        ],
    }


def _measured(measured: Measured) -> Json:
    count = measured.count
    least, most = count.each
    starts = count.starts or 1
    known = not count.turned or count.starts
    ends = [least / starts, most / starts] if count.turned else [least, most]
    leads = [least, most] if count.turned else [least * starts, most * starts]
    return {
        "threads": float(count.threads) if count.counted else None,
        "length_mm": float(count.length) if count.counted else None,
        "length_error_mm": count.error,
        "pitch_mm": ends if known else None,
        "lead_mm": leads if known or count.turned else None,
        "diameter_mm": None if measured.diameter is None else float(measured.diameter),
        "diameter_error_mm": measured.error,
        "inside": measured.inside,
        "angle_deg": measured.angle,
    }


def _candidate(candidate: Candidate) -> Json:
    thread = candidate.thread
    return {
        "name": thread.name,
        "series": thread.series,
        "also": list(candidate.known.names[1:]),
        "pitch_mm": thread.pitch.mm,
        "starts": thread.pitch.starts,
        "lead_mm": thread.pitch.lead_mm,
        "major_mm": None if thread.major_mm is None else float(thread.major_mm),
        "included_angle_deg": FORMS[thread.form].included_angle_deg,
        "lead_error": candidate.lead_error,
        "diameter_error_mm": candidate.diameter_error,
        "likelihood": candidate.likelihood,
        "within": candidate.within,
        "against": [what.value for what in candidate.against],
    }


def _apart(apart: Apart) -> Json:
    count = apart.count
    return {
        "names": list(apart.names),
        "count": count and {"threads": count.threads, "lengths_mm": list(count.lengths)},
        "reachable": apart.reachable,
        "diameters_mm": apart.diameters and [list(pair) for pair in apart.diameters],
        "angles_deg": apart.angles and list(apart.angles),
        "tapers": apart.tapers and list(apart.tapers),
        "depths_mm": apart.depths and list(apart.depths),
    }
