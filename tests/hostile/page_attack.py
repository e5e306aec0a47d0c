"""The page's server under many attacks. Not part of the suite.

    PYTHONPATH=tests/support python tests/hostile/page_attack.py FIRST COUNT [KIND]

With "bytes" for a kind: bare connections, fifty at a time.

Each is answered in 20 s by a server that goes on from the one before. Prints what was answered with
a fault of the program, without words or too late, and of which files then could not be read.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import httpx
from page_attacks import attack
from page_server import served
from test_page_attacks import unheeded, wrong

A_SERVER = 200
"""Attacks that one server takes before the next begins."""

SECONDS = 20.0


def main() -> None:
    """Run the attacks."""
    first, count = int(sys.argv[1]), int(sys.argv[2])
    kind = sys.argv[3] if len(sys.argv) > 3 else ""
    if kind == "bytes":
        _connections(range(first, first + count))
        return
    ends: Counter[str] = Counter()
    for start in range(first, first + count, A_SERVER):
        with tempfile.TemporaryDirectory() as place, served(Path(place), solver=True) as server:
            client = server.client()
            for seed in range(start, min(start + A_SERVER, first + count)):
                bad = attack(seed, kind)
                begin, number = time.monotonic(), server.session.solver.process_id
                try:
                    said = list(wrong(server, client, bad))
                except httpx.HTTPError as error:
                    said = [f"{type(error).__name__}: {error}"]
                    client = server.client()
                took = time.monotonic() - begin
                if took > SECONDS:
                    said.append(f"{took:.0f} s")
                if number not in (None, server.session.solver.process_id):
                    ends["process begun anew"] += 1
                ends[bad.kind] += 1
                ends["wrong"] += bool(said)
                for line in said:
                    print(f"{seed} {bad.kind}: {' '.join(line.split())[:1500]}", flush=True)
        print(start - first, dict(ends), file=sys.stderr, flush=True)
    print(dict(ends))


def _connections(seeds: range) -> None:
    """Attack with bytes, many connections at once."""
    with tempfile.TemporaryDirectory() as place, served(Path(place)) as server:
        with ThreadPoolExecutor(50) as pool:
            found = dict(
                zip(seeds, pool.map(lambda seed: unheeded(server, seed), seeds), strict=True)
            )
        for seed, said in found.items():
            if said:
                print(f"{seed} bytes: {said}")
        still = server.client().get("/lathe").status_code
    print({"bytes": len(found), "wrong": sum(map(bool, found.values())), "then": still})


if __name__ == "__main__":
    main()
