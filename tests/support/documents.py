"""JSON documents: the fixed names, their types, and numbers that every reader understands."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

NUMBER = (int, float)
TRAIN: dict[str, Any] = {
    "drivers": list,
    "driven": list,
    "idlers": list,
    "gearbox": (str, type(None)),
    "ratio": str,
    "pitch_mm": NUMBER,
    "lead_mm": NUMBER,
    "error": NUMBER,
    "verdict": str,
    "fits": str,
    "meshes": int,
    "studs": list,
    "arm_angle_deg": (*NUMBER, type(None)),
    "tightest": (dict, type(None)),
    "missing": list,
    "screw_turns": NUMBER,
    "tooth_load": NUMBER,
    "half_nut_step_mm": NUMBER,
}
WANT = {"name": str, "pitch_mm": NUMBER, "lead_mm": NUMBER, "allowed_error": NUMBER}
VERDICTS = {"exact", "in tolerance", "off", "does not fit", "no train"}


def has(document: dict[str, Any], names: dict[str, Any]) -> None:
    """Every fixed name is there with its type. More names may be added freely."""
    for name, kind in names.items():
        assert name in document
        assert isinstance(document[name], kind), (name, document[name])


def strict(document: object) -> Any:
    """Through JSON and back: refuses NaN and infinities, which JSON does not have."""
    return json.loads(json.dumps(document, allow_nan=False))


def trains(value: object) -> Iterator[dict[str, Any]]:
    """Every train anywhere in a document."""
    if isinstance(value, dict):
        if "drivers" in value and "driven" in value:
            yield value
        for inner in value.values():
            yield from trains(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from trains(inner)
