"""Waiting for a page. Playwright's own wait evaluates text in the page, which a strict
content-security-policy forbids once the first look finds nothing."""

from __future__ import annotations

import time
from typing import Any


def until(page: Any, expression: str, seconds: float = 30.0) -> None:
    """Return once the expression holds in the page; raises AssertionError where it never does."""
    ends = time.monotonic() + seconds
    while not page.evaluate(expression):
        assert time.monotonic() < ends, f"{expression} never came to hold"
        page.wait_for_timeout(20)
