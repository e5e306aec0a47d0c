"""Waiting for a page. Playwright's own wait evaluates text in the page, which a strict
content-security-policy forbids once the first look finds nothing."""

from __future__ import annotations

import json
import time
from typing import Any
from weakref import WeakKeyDictionary

from playwright.sync_api import Error

_GOING = ("context was destroyed", "Cannot find", "navigated or closed", "Execution was terminated")
"""What is said where one page gives way to another."""

_SESSIONS: WeakKeyDictionary[Any, Any] = WeakKeyDictionary()
"""By page, a line to the browser."""


def until(page: Any, expression: str, arg: Any = None, *, seconds: float = 30.0) -> None:
    """Return once the expression, or a function of `arg`, holds in the page, though another page
    come meanwhile; raises AssertionError where it never does."""
    ends = time.monotonic() + seconds
    while not _holds(page, expression, arg):
        assert time.monotonic() < ends, f"{expression} never came to hold"
        page.wait_for_timeout(20)


def _holds(page: Any, expression: str, arg: Any) -> bool:
    """Asked of the browser itself: Playwright's own question waits for ever now and then where the
    page is loaded anew meanwhile."""
    asked = (
        f"(() => {{ const it = ({expression}); "
        f"return Boolean(typeof it === 'function' ? it({json.dumps(arg)}) : it); }})()"
    )
    try:
        told = _session(page).send(
            "Runtime.evaluate", {"expression": asked, "returnByValue": True, "timeout": 5000}
        )
    except Error as error:
        if any(words in str(error) for words in _GOING):
            return False
        raise
    if "exceptionDetails" in told:
        raise AssertionError(told["exceptionDetails"]["exception"].get("description", expression))
    return bool(told["result"].get("value"))


def _session(page: Any) -> Any:
    if page not in _SESSIONS:
        _SESSIONS[page] = page.context.new_cdp_session(page)
    return _SESSIONS[page]
