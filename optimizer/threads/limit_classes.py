"""Which standard's limits of size a thread has, and in which class."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from gearchest.optimizer.domain.thread import Thread
from gearchest.optimizer.threads import (
    acme_limits,
    british_limits,
    metric_limits,
    pipe_limits,
    trapezoidal_limits,
    unified_limits,
)
from gearchest.optimizer.threads.limits import Limits
from gearchest.optimizer.threads.tolerances import ISO, PIPE, RULES, TAPER_PIPE, UNS

Compute = Callable[[float, float, int, str, bool], Limits | None]
"""(major and pitch in mm, starts, class, inside) -> limits."""


@dataclass(frozen=True)
class Classes:
    """The classes of a standard that are most in use, the usual one first, and how its limits
    are worked out."""

    outside: tuple[str, ...]
    inside: tuple[str, ...]
    compute: Compute


def _unified(standard: str) -> Compute:
    rule = RULES[standard]

    def compute(major: float, pitch: float, _: int, name: str, inside: bool) -> Limits | None:
        engaged = rule.engaged_mm(major, pitch)
        return unified_limits.limits(major, pitch, name, inside=inside, engaged=engaged)

    return compute


_CLASSES: dict[str, Classes] = {
    ISO: Classes(
        metric_limits.OUTSIDE, metric_limits.INSIDE,
        lambda d, p, _, name, inside: metric_limits.limits(d, p, name, inside=inside),
    ),
    "ISO 2903": Classes(
        trapezoidal_limits.OUTSIDE, trapezoidal_limits.INSIDE,
        lambda d, p, n, name, inside: trapezoidal_limits.limits(
            d, p, name, inside=inside, starts=n
        ),
    ),
    "ASME B1.1": Classes(
        unified_limits.OUTSIDE, unified_limits.INSIDE, _unified("ASME B1.1"),
    ),
    UNS: Classes(unified_limits.OUTSIDE, unified_limits.INSIDE, _unified(UNS)),
    "ASME B1.5": Classes(
        acme_limits.CLASSES, acme_limits.CLASSES,
        lambda d, p, _, name, inside: acme_limits.limits(d, p, name, inside=inside),
    ),
    "ASME B1.8": Classes(
        acme_limits.CLASSES[:1], acme_limits.CLASSES[:1],
        lambda d, p, _, name, inside: acme_limits.limits(d, p, name, inside=inside, stub=True),
    ),
    "BS 84": Classes(
        british_limits.WHITWORTH_OUTSIDE, british_limits.WHITWORTH_INSIDE,
        lambda d, p, _, name, inside: british_limits.whitworth(d, p, name, inside=inside),
    ),
    "BS 93": Classes(
        british_limits.BA_OUTSIDE, british_limits.BA_INSIDE,
        lambda d, p, _, name, inside: british_limits.association(d, p, name, inside=inside),
    ),
    PIPE: Classes(
        pipe_limits.OUTSIDE, pipe_limits.INSIDE,
        lambda d, p, _, name, inside: pipe_limits.limits(d, p, name, inside=inside),
    ),
}  # fmt: skip
"""By the name a thread's `standard` gives."""

_BY_FORM = {
    "iso": ISO, "unified": UNS, "trapezoidal": "ISO 2903", "acme": "ASME B1.5",
    "stub-acme": "ASME B1.8", "whitworth": "BS 84",
}  # fmt: skip
"""The standard whose formulas hold for a form of any diameter and pitch."""

_MULTI_START = "limits of a single start: this standard has none for several"


@dataclass(frozen=True)
class LimitsFound:
    """The limits of a thread; where there are none, `why` says so in a few words."""

    limits: Limits | None
    why: str = ""


def classes(thread: Thread, *, inside: bool) -> tuple[str, ...]:
    """The classes most in use for a thread, the usual one first; empty where none is known."""
    known = _CLASSES.get(_standard(thread))
    if known is None or thread.major_mm is None:
        return ()
    usual = known.inside if inside else known.outside
    if _standard(thread) != ISO:
        return usual
    first = metric_limits.default_class(float(thread.major_mm), thread.pitch.mm, inside=inside)
    return (first, *(name for name in usual if name != first))


def limits_of(thread: Thread, *, inside: bool, class_name: str = "") -> LimitsFound:
    """The limits of a thread in a class; the usual one where none is named.

    A thread that comes from no catalog is judged by its form. ValueError for a class that the
    thread's standard does not have; its text names those in use.
    """
    standard = _standard(thread)
    known = _CLASSES.get(standard)
    if thread.major_mm is None:
        return LimitsFound(None, "no diameter is known, so no class")
    if standard in TAPER_PIPE:
        return LimitsFound(None, "a taper thread is judged in its gauge plane")
    if known is None:
        return LimitsFound(None, "no standard with limits is known for it")
    name = class_name or classes(thread, inside=inside)[0]
    starts = thread.pitch.starts
    found = known.compute(float(thread.major_mm), thread.pitch.mm, starts, name, inside)
    if found is None:
        return LimitsFound(None, f"{standard} has no limits for this diameter and pitch")
    if starts > 1 and standard != "ISO 2903":
        found = _noted(found, _MULTI_START)
    return LimitsFound(found)


def _noted(limits: Limits, note: str) -> Limits:
    return replace(limits, note="; ".join(filter(None, (limits.note, note))))


def _standard(thread: Thread) -> str:
    """The standard a thread names; for one that comes from no catalog, its form's."""
    if thread.standard or thread.series:
        return thread.standard
    return _BY_FORM.get(thread.form, "")
