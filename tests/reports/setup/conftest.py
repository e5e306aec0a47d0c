"""What the tests of setup sheets share."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest


@pytest.fixture(scope="module")
def tab(browser: Any) -> Iterator[Any]:
    """A page of the browser."""
    page = browser.new_page()
    yield page
    page.close()
