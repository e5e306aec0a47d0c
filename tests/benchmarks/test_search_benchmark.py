"""How long the train search takes on the benchmark lathes. Nothing is asserted of speed.

    pytest tests/benchmarks --benchmark-only --benchmark-columns=min,median,rounds

Timed is the result the plan needs: every option of every want that no other beats.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import load_wants
from gearchest.optimizer.search.search import find_options

FOLDER = Path(__file__).parents[1] / "bench"
LONG = {("large", 2), ("large", 3), ("boxed", 3), ("medium", 4)}


@pytest.mark.parametrize(
    ("name", "missing"),
    [("small", 3), ("medium", 2), ("medium", 4), ("boxed", 3), ("large", 2), ("large", 3)],
)
def test_options_no_other_beats(benchmark: BenchmarkFixture, name: str, missing: int) -> None:
    folder = FOLDER / name
    lathe = load_lathe(folder / "lathe.toml")
    wants = load_wants(folder / "wants.csv", lathe)
    candidates = [(o.gear, o.copies) for o in load_offers(folder / "offers.csv", lathe)]
    rounds = 1 if (name, missing) in LONG else 5
    found = benchmark.pedantic(
        lambda: find_options(lathe, wants, candidates, missing), rounds=rounds
    )
    benchmark.extra_info["options"] = sum(len(options.load) for options in found.wants)
