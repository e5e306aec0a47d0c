"""What a terminal gets: narrow ones whole words, dumb ones and pipes plain lines, shells words."""

from __future__ import annotations

import os
import pty
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from file_samples import LEAST, write
from program import CALL, run

from gearchest.cli.completion import lathes, series, sizes, uses
from gearchest.cli.folding import folded

BENCH = Path(__file__).parents[1] / "bench" / "small"
PLAN = ("plan", BENCH / "lathe.toml", "--wants", BENCH / "wants.csv", "--offers",
        BENCH / "offers.csv", "--most", "0", "--no-charts", "--no-what-if")  # fmt: skip
BOXES = re.compile("[\u2500-\u259f\u2800-\u28ff]")
"""Box drawing, blocks, and the dots of spinners."""


def in_terminal(*arguments: object, columns: int = 80, **environment: str) -> str:
    """What the program shows in a window so wide, both streams."""
    leader, follower = pty.openpty()
    if columns:
        import fcntl
        import struct
        import termios

        fcntl.ioctl(follower, termios.TIOCSWINSZ, struct.pack("HHHH", 50, columns, 0, 0))
    kept = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "LINES", "NO_COLOR")}
    program = subprocess.Popen(
        [sys.executable, "-c", CALL, *map(str, arguments)], stdout=follower, stderr=follower,
        stdin=subprocess.DEVNULL, env={**kept, "TERM": "xterm-256color", **environment},
    )  # fmt: skip
    os.close(follower)
    shown = b""
    while True:
        try:
            part = os.read(leader, 65536)
        except OSError:
            break
        if not part:
            break
        shown += part
    os.close(leader)
    assert program.wait(120) in (0, 3, 4)
    return shown.decode().replace("\r\n", "\n")


@pytest.mark.parametrize(("columns", "wrong"), [(30, False), (40, True)])
def test_lines_fit_a_narrow_window(tmp_path: Path, columns: int, wrong: bool) -> None:
    bad = write(tmp_path, "lathe.toml", LEAST.replace("1.5 mm", "1.5"))
    arguments = ("reach", bad if wrong else "mini-7-metric", "M10", "0.331 mm")
    shown = in_terminal(*arguments, columns=columns)
    words = [word for word in shown.split() if len(word) > columns]
    assert all(word.startswith("/") for word in words)  # names of files stay whole
    assert all(len(line) <= columns or "/" in line for line in shown.splitlines())
    piped = run(*arguments)
    assert "".join(shown.split()) == "".join((piped.stdout + piped.stderr).split())


def test_folded_lines_are_set_in_below_their_beginning() -> None:
    line = "  stud at 60.0 mm, arm at 36.9 degrees, all of it"
    assert folded(line, 24) == [
        "  stud at 60.0 mm, arm", "    at 36.9 degrees, all", "    of it",
    ]  # fmt: skip
    assert folded(line, None) == folded(line, 10) == [line]


def test_a_dumb_terminal_gets_plain_lines(tmp_path: Path) -> None:
    shown = in_terminal(*PLAN, "--out", tmp_path / "x.html", TERM="dumb")
    assert "\x1b" not in shown
    assert not BOXES.search(shown)
    assert "looking for trains" in shown


def test_no_colour_where_none_is_wanted(tmp_path: Path) -> None:
    shown = in_terminal(*PLAN, "--out", tmp_path / "x.html", NO_COLOR="1")
    colours = re.findall(r"\x1b\[([\d;]*)m", shown)
    assert not [c for c in colours if re.search(r"(^|;)(3\d|4\d|9\d|10\d)(;|$)", c)]


@pytest.mark.parametrize(
    "arguments",
    [("plan", "--help"), ("plan", "--mots", "3"), ("threads",), ("setup", "mini-7-metric", "M10")],
)  # fmt: skip
def test_no_boxes_where_nobody_looks(arguments: tuple[str, ...]) -> None:
    done = run(*arguments)
    assert done.stdout + done.stderr
    assert not BOXES.search(done.stdout + done.stderr)
    assert "\x1b" not in done.stdout + done.stderr


def test_help_names_every_command_whole() -> None:
    assert "..." not in run("--help").stdout.partition("Commands:")[2]


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("gearchest reach mini-7-", {"mini-7-inch", "mini-7-metric"}),
        ("gearchest reach mini-7-inch m10", {"m10", "m10x1.25", "m10x1"}),
        ("gearchest plan --keep", {"--keep-out"}),
    ],
)
def test_the_shell_completes(typed: str, words: set[str]) -> None:
    parts = typed.split()
    asked = {"_GEARCHEST_COMPLETE": "complete_bash", "COMP_WORDS": typed,
             "COMP_CWORD": str(len(parts) - 1)}  # fmt: skip
    done = subprocess.run([sys.executable, "-c", CALL], capture_output=True, text=True,
                          env={**os.environ, **asked}, check=False)  # fmt: skip
    assert words <= set(done.stdout.split())
    assert all(word.startswith(parts[-1]) for word in done.stdout.split())


@pytest.mark.parametrize(
    ("words", "typed", "found"),
    [
        (series, "iso-m", ["iso-metric-coarse", "iso-metric-fine"]), (uses, "wo", ["wood", "worm"]),
        (lathes, "AM", ["AMerican-12"]), (sizes, "", []), (sizes, "m2.5", ["m2.5", "m2.5x0.35"]),
    ],
)  # fmt: skip
def test_words_that_complete(
    words: Callable[[str], list[str]], typed: str, found: list[str]
) -> None:
    """As they were typed: shells take no others."""
    assert words(typed) == found


def test_the_script_that_completes_is_shown() -> None:
    done = subprocess.run(
        [sys.executable, "-c", CALL, "--show-completion", "bash"], capture_output=True, text=True,
        env={**os.environ, "_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION": "1"}, check=True,
    )  # fmt: skip
    assert "_GEARCHEST_COMPLETE=complete_bash" in done.stdout
