"""axe-core, the accessibility checks packed with axe-playwright-python."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from need import missing

AXE: dict[str, Any] = {"resultTypes": ["violations"], "preload": False}


def axe(page: Any, options: dict[str, Any] | None = None) -> list[str]:
    """What axe finds on a page."""
    try:
        source = (files("axe_playwright_python") / "axe.min.js").read_text(encoding="utf-8")
    except ModuleNotFoundError:
        missing("axe-playwright-python")
    if not page.evaluate("'axe' in window"):
        page.evaluate(source)
    found = page.evaluate(f"axe.run(document, {json.dumps(AXE | (options or {}))})")
    return [
        f"{v['id']}: {[node['html'][:200] for node in v['nodes']]}" for v in found["violations"]
    ]
