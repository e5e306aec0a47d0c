"""How a search is ended from outside: it asks every now and then whether to go on."""

from __future__ import annotations

from collections.abc import Callable

Ask = Callable[[], None]
"""What a search calls every now and then; it raises to end the search."""


class SearchStoppedError(Exception):
    """Whoever was asked wants the search to end."""


def go_on() -> None:
    """Never end a search."""
