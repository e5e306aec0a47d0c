"""When a page is painted on a slow machine: Chromium with its processor throttled.

    python tests/benchmarks/paint.py [--rate 6] [--runs 5] PAGE...

Milliseconds from the start of loading, least, median and most of the runs: the first and the
largest paint of content, when the map is on the screen, when all of the page is read, how long
the first thread takes to open, and the longest task after the map is there. Nothing is asserted of
speed.
"""

from __future__ import annotations

import argparse
import os
import shutil
import statistics
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

FLAGS = ("--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking")
SIZES = {"laptop": (1366, 768), "phone": (390, 844)}
WATCH = """
  window.paints = {};
  const seen = (name, time) => { window.paints[name] = time; };
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) {
      if (entry.name === "first-contentful-paint") seen("first paint", entry.startTime);
      if (entry.entryType === "largest-contentful-paint") seen("largest paint", entry.startTime);
    }
  }).observe({ entryTypes: ["paint", "largest-contentful-paint"] });
  window.tasks = [];
  new PerformanceObserver((list) => window.tasks.push(...list.getEntries()))
    .observe({ entryTypes: ["longtask"] });
  // A frame after an element has a size it is painted.
  const waiting = new Map([
    ["map", "#map tr[data-want] td"],
  ]);
  const frame = () => {
    for (const [name, selector] of waiting) {
      const node = document.querySelector(selector);
      if (!node || !node.getBoundingClientRect().width) continue;
      waiting.delete(name);
      requestAnimationFrame(() => seen(name, performance.now()));
    }
    if (waiting.size) requestAnimationFrame(frame);
  };
  requestAnimationFrame(frame);
  addEventListener("load", () => seen("loaded", performance.now()));
"""
PAINTED = """async () => {
  const events = ["first paint", "largest paint", "loaded"];
  if (document.getElementById("map")) events.push("map");
  while (events.some((event) => !(event in window.paints))) {
    await new Promise((done) => setTimeout(done, 50));
  }
  await new Promise((done) => setTimeout(done, 500)); // a larger paint may follow
  const { map = 0 } = window.paints;
  const after = window.tasks.filter(({ startTime }) => startTime > map);
  const longest = Math.max(0, ...after.map(({ duration }) => duration));
  return { ...window.paints, "longest task after": longest };
}"""
OPENED = """async () => {
  const link = document.querySelector("#map td a");
  if (!link) return null;
  const start = performance.now();
  link.click();
  const shown = ".setup.open .train-sheet:not([data-away]) svg.train";
  const drawing = () => document.querySelector(shown);
  while (!drawing()?.getBoundingClientRect().width) {
    await new Promise((done) => setTimeout(done, 10));
  }
  await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
  const time = performance.now() - start;
  document.querySelector("[data-go=map]").click();
  return time;
}"""


def measured(browser: Any, page: Path, size: tuple[int, int], rate: float) -> dict[str, float]:
    """One loading of a page: the time of each event, in milliseconds."""
    times: dict[str, float]
    context = browser.new_context(viewport={"width": size[0], "height": size[1]})
    tab = context.new_page()
    context.new_cdp_session(tab).send("Emulation.setCPUThrottlingRate", {"rate": rate})
    tab.add_init_script(WATCH)
    tab.goto(page.resolve().as_uri())
    times = tab.evaluate(PAINTED)
    opened = tab.evaluate(OPENED)
    if opened is not None:
        times["a thread, once asked"] = opened
    context.close()
    return times


def main() -> None:
    """Print a table for each page and size."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("pages", nargs="+", type=Path, metavar="PAGE")
    parser.add_argument("--rate", type=float, default=6.0, help="how many times slower")
    parser.add_argument("--runs", type=int, default=5)
    given = parser.parse_args()
    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium")
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=list(FLAGS))
        for page in given.pages:
            for name, size in SIZES.items():
                runs = [measured(browser, page, size, given.rate) for _ in range(given.runs)]
                print(
                    f"{page.name}, {page.stat().st_size / 1e6:.1f} MB, {name}, "
                    f"{given.rate:g} times slower"
                )
                for event in sorted(runs[0], key=lambda event: runs[0][event]):
                    times = [run[event] for run in runs]
                    print(
                        f"  {event:21}{min(times):7.0f}{statistics.median(times):7.0f}"
                        f"{max(times):7.0f}"
                    )
        browser.close()


if __name__ == "__main__":
    main()
