"""Waiting for a page. Playwright's own wait evaluates text in the page, which a strict
content-security-policy forbids once the first look finds nothing."""

from __future__ import annotations

import time
from typing import Any

from playwright.sync_api import Error


def until(page: Any, expression: str, arg: Any = None, *, seconds: float = 30.0) -> None:
    """Return once the expression, or a function of `arg`, holds in the page, though another page
    come meanwhile; raises AssertionError where it never does."""
    ends = time.monotonic() + seconds
    while not _holds(page, expression, arg):
        assert time.monotonic() < ends, f"{expression} never came to hold"
        page.wait_for_timeout(20)


def _holds(page: Any, expression: str, arg: Any) -> bool:
    try:
        return bool(page.evaluate(expression, arg))
    except Error as error:
        if "context was destroyed" in str(error):
            return False
        raise
