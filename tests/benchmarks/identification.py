"""How often an unknown thread is named rightly: `python tests/benchmarks/identification.py`.

Prints the rows of the table in DEVELOPERS.md; --samples says how many threads are measured.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from measuring import World, rates

WORLDS = {
    "ten threads, outside": World(),
    "threads in 25 mm, outside": World(ten=False),
    "ten threads and the flanks' angle, outside": World(gauged=True),
    "ten threads, a nut": World(inside=True),
    "ten threads, every size alike": World(as_met=False),
    "ten threads, rough readings": World(rough=True),
}


def main() -> None:
    """One row a world."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--samples", type=int, default=2000)
    count = parser.parse_args().samples
    for name, world in WORLDS.items():
        found = rates(world, count, seed=1)
        print(
            f"| {name} | {found.first:.1%} | {found.ideal_first:.1%} | {found.three:.1%} "
            f"| {found.ideal_three:.1%} |"
        )


if __name__ == "__main__":
    main()
