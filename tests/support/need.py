"""What to do where a tool of the browser tests is not installed."""

from __future__ import annotations

import os
from typing import NoReturn

import pytest


def missing(what: str) -> NoReturn:
    """Skip, or fail where CI is set."""
    if os.environ.get("CI"):
        pytest.fail(f"{what} is not installed, and CI must not skip these tests")
    pytest.skip(f"{what} is not installed")
