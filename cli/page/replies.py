"""What is answered where there is no document: faults with their cures, and the program's own."""

from __future__ import annotations

from typing import Any

from gearchest.cli.faults import Fault, FaultsError, shorten


def fault_document(error: FaultsError) -> dict[str, Any]:
    """All faults, as programs read them."""
    return {"kind": "faults", "version": 1, "faults": [_fault(fault) for fault in error.faults]}


def _fault(fault: Fault) -> dict[str, Any]:
    return {
        "where": fault.where,
        "value": fault.value,
        "why": fault.problem,
        "allowed": fault.allowed,
        "cure": fault.fix,
    }


def sorry(words: str) -> dict[str, Any]:
    """No answer, and why."""
    return {"kind": "sorry", "version": 1, "why": shorten(words, 500)}
