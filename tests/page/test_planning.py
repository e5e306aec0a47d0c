"""What a page shows of a plan while it is on its way."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from gearchest.catalogs.lathes import lathe_file
from gearchest.cli.page.answers import Answers
from gearchest.cli.page.errand import Errand
from gearchest.cli.page.shelf import LATHE, NAMES, WANTS

COARSE = '[[want]]\nseries = "iso-metric-coarse"\nfrom = "M3"\nto = "M12"\n'
MORE = "".join(f'[[want]]\npitch = "{one}"\n' for one in ("1/4-20 UNC", "3/8 BSP", "8 tpi"))
BEYOND = "".join(f'[[want]]\npitch = "{one}"\n' for one in ("0.6 module", "27 tpi", "19 tpi"))


def test_what_to_buy_can_be_opened_at_every_moment_of_one_plan_after_another(
    tmp_path: Path,
) -> None:
    """Though the gears to tick are those of the plan before, and the steps name others; no step
    is told that is taken back in the end."""
    answers, lathe = Answers(), lathe_file("mini-7-metric").read_text(encoding="utf-8")
    for wants in (COARSE, COARSE + MORE, COARSE + BEYOND):
        texts = {LATHE: lathe, WANTS: wants}
        for name, text in texts.items():
            (tmp_path / NAMES[name]).write_text(text, encoding="utf-8")
        pages: list[Any] = []

        def tell(part: dict[str, Any], texts: Any = texts, pages: Any = pages) -> None:
            asked = {"what": "sheet", "sheet": "buy", "query": {}, "done": False}
            asked |= {"texts": texts, "folder": str(tmp_path)}
            pages.append((part, answers.to(asked, Errand(0, lambda _: None))))

        whole = answers.to({"what": "steps", "texts": texts}, Errand(0, tell))
        steps = [step["covered"] for step in whole["steps"]]
        assert len(pages) >= 3
        for part, page in pages:
            assert page["kind"] == "page"
            assert ("what-if" in page["html"]) >= part["ticks"]
            assert [step["covered"] for step in part["steps"]] == steps[: len(part["steps"])]
