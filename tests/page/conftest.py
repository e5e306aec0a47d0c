"""A browser's page let in to a server of the test."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest


@pytest.fixture
def enter(browser: Any) -> Iterator[Any]:
    """Open a page: enter(server, path, **context options) -> page. What it says or cannot load
    fails the test."""
    contexts, said = [], []

    def go(server: Any, path: str = "/", *, tab_of: Any = None, **options: Any) -> Any:
        context = tab_of.context if tab_of else browser.new_context(**options)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(60_000)
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("console", lambda m: said.append(m.text) if m.type == "error" else None)
        if not tab_of:
            page.goto(server.keys.address)
        if path != "/":
            page.goto(server.base + path)
        return page

    go.said = said  # type: ignore[attr-defined]
    yield go
    for context in contexts:
        context.close()
    assert [words for words in said if "Failed to load resource" not in words] == []
