"""How the program ends when somebody else ends it: closed pipes, full disks, Ctrl-C."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time

import pytest
from program import CALL, run

pytestmark = pytest.mark.skipif(os.name == "nt", reason="pipes and signals differ there")


def shell(command: str) -> subprocess.CompletedProcess[str]:
    """A command line in which `gearchest` is the program."""
    program = f'gearchest() {{ "{sys.executable}" -c "{CALL}" "$@"; }}\n'
    return subprocess.run(
        ["bash", "-c", program + command], capture_output=True, text=True, check=False, timeout=60
    )


@pytest.mark.parametrize("arguments", ["threads", "--help", "reach mini-7-metric M6 M8 --json -"])
def test_a_closed_pipe_ends_quietly_with_141(arguments: str) -> None:
    # `true` reads nothing, and is gone before the program has anything to say
    done = shell(f"gearchest {arguments} | true; exit ${{PIPESTATUS[0]}}")
    assert (done.returncode, done.stderr) == (141, "")


def test_nobody_reading_messages_stops_nothing() -> None:
    command = "exec 3>&1; gearchest reach mini-7-metric M6 --json - 2>&1 >/dev/null | true;"
    assert shell(command + "exit ${PIPESTATUS[0]}").returncode == 0


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no /dev/full")
@pytest.mark.parametrize("arguments", ["threads", "reach mini-7-metric M6 --json -"])
def test_a_full_disk_behind_standard_output_is_a_fault(arguments: str) -> None:
    done = shell(f"gearchest {arguments} > /dev/full")
    assert done.returncode == 3
    assert "No space left" in done.stderr.splitlines()[-3]
    assert done.stderr.rstrip().endswith("1 fault found.")


@pytest.mark.parametrize("closed", [">&-", "2>&-", "<&- >&- 2>&-"])
def test_streams_closed_from_the_start_are_no_fault(closed: str) -> None:
    done = shell(f"gearchest reach mini-7-metric M6 {closed}")
    assert done.returncode == 0
    assert "Traceback" not in done.stderr


def test_ctrl_c_during_start_up_shows_no_traceback() -> None:
    code = "from gearchest.cli.main import run; print('up', flush=True); run()"
    ends = set()
    for delay in (0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4):
        process = subprocess.Popen(
            [sys.executable, "-c", code, "reach", "mini-7-metric", "M6", "11.5 tpi"],
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )  # fmt: skip
        assert process.stdout is not None
        assert process.stdout.readline() == "up\n"
        time.sleep(delay)
        process.send_signal(signal.SIGINT)
        _, err = process.communicate(timeout=60)
        ends.add(process.returncode)
        assert "Traceback" not in err
    assert ends <= {130, 4}  # 11.5 tpi is not to be had: where the signal came too late
    assert 130 in ends


def test_a_fault_of_the_programs_own_is_1_and_shows_no_traceback() -> None:
    broken = "import gearchest.cli.threads_command as t; t.threads = lambda **_: 1 / 0"
    done = run("threads", before=broken)
    assert done.returncode == 1
    assert "a fault of its own: ZeroDivisionError" in done.stderr
    assert "Traceback" not in done.stderr
