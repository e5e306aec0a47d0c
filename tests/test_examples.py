"""The examples in the docstrings say what the program does."""

from __future__ import annotations

import doctest
from importlib import import_module
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PARTS = ("optimizer", "catalogs", "reports", "cli")


def with_examples() -> list[str]:
    """The modules in whose text an example stands."""
    return sorted(
        ".".join(path.relative_to(ROOT).with_suffix("").parts)
        for part in PARTS
        for path in (ROOT / part).rglob("*.py")
        if ">>> " in path.read_text(encoding="utf-8")
    )


@pytest.mark.parametrize("module", with_examples())
def test_examples_hold(module: str) -> None:
    done = doctest.testmod(import_module(f"gearchest.{module}"))
    assert done.attempted
    assert not done.failed
