"""What is shown of faults: an end, one line a message, nothing that a terminal obeys."""

from __future__ import annotations

from gearchest.cli.faults import MOST_LINES, MOST_TOLD, Fault, FaultsError
from gearchest.cli.marks import spelt_out


def faults(count: int) -> FaultsError:
    return FaultsError(
        Fault("lathe.toml", "wrong", line=line, value="x", allowed="y", fix="z")
        for line in range(1, count + 1)
    )


def test_few_faults_are_told_in_full() -> None:
    lines = faults(3).lines()
    assert lines[:4] == ["lathe.toml, line 1: x", "  wrong", "  allowed: y", "  fix: z"]
    assert lines[-1] == "3 faults found."
    assert len(lines) == 13


def test_of_many_faults_the_first_twenty_and_a_count() -> None:
    lines = faults(5000).lines()
    assert len(lines) <= MOST_LINES
    assert lines[0] == "lathe.toml, line 1: x"
    assert lines[-2] == "lathe.toml, line 20: x: wrong; z"
    assert lines[-1] == "5000 faults found, the first 20 shown."
    assert sum(line.startswith("lathe.toml") for line in lines) == MOST_TOLD


def test_long_values_are_cut_wherever_they_stand() -> None:
    long = "a" * 5000
    fault = Fault("f", f'there is no key "{long}" here', line=1, value=long, fix=f'or "{long}"',
                  also=((2, long),))  # fmt: skip
    assert max(map(len, fault.lines())) < 100
    assert "a" * 59 + "…" in fault.lines()[0]
    assert "a" * 61 not in str(fault)


def test_marks_are_spelt_out_and_no_message_is_broken() -> None:
    nasty = "a\x1b[31mb\n\u202ec\x00\x9bd"
    fault = Fault(nasty, f'no "{nasty}"', line=1, where=nasty, value=nasty, allowed=nasty,
                  fix=nasty, also=((2, nasty),))  # fmt: skip
    assert len(fault.lines()) == 5
    shown = "".join(fault.lines())
    assert shown.isprintable()
    assert "\\x1b[31m" in shown
    assert "\\u202e" in shown
    assert "\\x00" in shown


def test_joiners_and_no_break_spaces_are_text() -> None:
    welcome = "می\u200cخواهم 👩\u200d🔧 1\u00a0mm"
    assert spelt_out(welcome) == welcome
    fault = Fault("f", "no", value=welcome)
    assert all(word in str(fault) for word in ("می\u200cخواهم", "👩\u200d🔧", "1 mm"))


def test_a_place_on_the_command_line_has_no_line() -> None:
    fault = Fault("command line", "clash", where="--diameter", also=((0, "PITCH = M10"),))
    assert "  compare PITCH = M10" in fault.lines()
