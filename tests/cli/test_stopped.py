"""Ctrl-C wherever a command has come to: counted in calls of its own functions, not in seconds."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

MOMENTS = 4

STOPPED_AT_EACH = """
import json, os, signal, sys
import gearchest.cli.commands, gearchest.cli.ending, gearchest.cli.streams
from gearchest.cli import chart_command, compare_command, reach_command, setup_command
from gearchest.cli import main

folder, moments, *arguments = sys.argv[1:]
os.chdir(folder)

def ran(most):
    # A copy that presses Ctrl-C at the call of this number: its exit code, what it said, the files
    # it left, and how many calls there were.
    for name in ("a.html", "a.json"):
        with open(name, "w") as file:
            file.write("old")
    told, into = os.pipe()
    process = os.fork()
    if not process:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        os.dup2(os.open("said", os.O_WRONLY | os.O_CREAT | os.O_TRUNC), 2)
        own, calls = os.getpid(), [0]
        def called(frame, event, argument):
            if event == "call" and "gearchest" in frame.f_code.co_filename and os.getpid() == own:
                calls[0] += 1
                if calls[0] == most:
                    os.kill(own, signal.SIGINT)
        leave = main._leave
        def left(code):
            sys.setprofile(None)
            os.write(into, str(calls[0]).encode())
            leave(code)
        main._leave = left
        sys.argv = ["gearchest", *arguments]
        sys.setprofile(called)
        main.run()
    os.close(into)
    calls = os.read(told, 99)
    os.close(told)
    code = os.waitstatus_to_exitcode(os.waitpid(process, 0)[1])
    files = {name: open(name).read()[:3] for name in sorted(os.listdir()) if name != "said"}
    return code, open("said").read(), files, int(calls or 0)

whole = ran(0)
every = [ran(1 + whole[3] * (2 * k + 1) // (2 * int(moments))) for k in range(int(moments))]
print(json.dumps([whole, every]))
"""


@pytest.mark.parametrize(
    "arguments",
    [
        ["reach", "mini-7-metric", "M6", "11 tpi", "--json", "a.json"],
        ["setup", "mini-7-metric", "M6", "--out", "a.html", "--json", "a.json"],
        ["compare", "mini-7-metric", "mini-7-inch", "--wants", "few.csv", "--out", "a.html",
         "--json", "a.json"],
    ],
    ids=lambda arguments: arguments[0],
)  # fmt: skip
def test_ctrl_c_ends_at_once_and_says_what_was_written(
    arguments: list[str], tmp_path: Path
) -> None:
    (tmp_path / "few.csv").write_text("size\nM6\nM8\n", encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", STOPPED_AT_EACH, str(tmp_path), str(MOMENTS), *arguments],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    (code, _, whole, calls), every = json.loads(done.stdout)
    assert code == 0
    assert calls > 1000
    assert len(every) == MOMENTS
    for ended, said, files, _ in every:
        assert "Traceback" not in said
        assert files.keys() == whole.keys()
        written = [name for name, begin in files.items() if begin == whole[name] != "old"]
        assert ended == 130
        assert "Stopped by Ctrl-C." in said
        assert ("No file was written." in said) == (files["a.html"] == files["a.json"] == "old")
        for name in ("a.html", "a.json"):
            assert files[name] in ("old", whole[name])
            assert (name in said.partition("Written before that")[2]) == (name in written)


def test_ctrl_c_that_falls_where_nothing_can_be_raised_is_not_lost() -> None:
    """As in a callback of Python's import, which only prints what is raised."""
    script = """
import signal, time
from gearchest.cli import commands, main
class Falls:
    def __del__(self):
        signal.raise_signal(signal.SIGINT)
def app(prog_name):
    Falls()
    time.sleep(60)
commands.app = app
main.run()
"""
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True)
    assert done.returncode == 130
    assert "Traceback" not in done.stderr
    assert "Stopped by Ctrl-C." in done.stderr
