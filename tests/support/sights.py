"""Ways a page is looked at: screen sizes, papers, print."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

KINDS = ("plan", "plan-bare", "plan-gears", "compare", "setup", "blanks", "chart")
"""Every kind of page the program writes."""

CUT = (63, 127)
"""Tooth counts of the sample pages that say how to make gears."""
HEIGHT = 768
FOLDER = Path(__file__).parents[1] / "reports" / "browser"


@dataclass(frozen=True)
class Sight:
    """Width in pixels and what the reader's system asks for; `mode` is that of a print button."""

    width: int = 1366
    scheme: str = "light"
    forced: bool = False
    media: str = "screen"
    mode: str = ""


SIGHTS = {
    "light": Sight(),
    "dark": Sight(scheme="dark"),
    "forced colours": Sight(forced=True),
    "phone": Sight(width=320),
    "print": Sight(width=703, media="print"),
}
WIDTHS = (320, 360, 390, 768, 1280, 1366)
PAPERS = {"A4": 703, "Letter": 725}
"""Printable width in pixels within the margins of print.css."""
SIDEWAYS = {"A4": 1062, "Letter": 995}
"""The same of the charts for the wall, which lie across."""


def look(page: Any, sight: Sight) -> Any:
    """Set the page to a sight; the same page serves many."""
    page.bring_to_front()
    page.set_viewport_size({"width": sight.width, "height": HEIGHT})
    page.emulate_media(
        media=sight.media,
        color_scheme=sight.scheme,
        forced_colors="active" if sight.forced else "none",
    )
    page.evaluate(
        """(mode) => {
          if (!document.getElementById("laid-out")) {
            const style = document.createElement("style");
            style.id = "laid-out"; // else what is not on the screen has no size yet
            style.textContent = "* { content-visibility: visible !important; }";
            document.head.append(style);
          }
          if (mode) document.documentElement.dataset.print = mode;
          else delete document.documentElement.dataset.print;
          return new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
        }""",
        sight.mode,
    )
    page.evaluate(
        """(paper) => {
          const told = paper ? "beforeprint" : "afterprint";
          if ((window.onPaper ?? false) !== paper) dispatchEvent(new Event(told));
          window.onPaper = paper;
        }""",
        sight.media == "print",
    )
    return page


def check(page: Any, name: str, script: str = "checks.js") -> Any:
    """What a check of checks.js or labels.js finds."""
    return page.evaluate(f"({(FOLDER / script).read_text(encoding='utf-8')}).{name}()")
