"""No text of a file reaches a terminal or a page with anything in it that is no text."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from file_samples import LEAST, write
from program import run

from gearchest.cli.faults import Fault, FaultsError
from gearchest.cli.files.lathe import load_lathe
from gearchest.cli.files.offers import load_offers
from gearchest.cli.files.wants import load_wants, want_from
from gearchest.cli.output import write_json

MARKS = ("\\u001b[31m", "\\u0000", "\\u202e", "\\u2066", "\\u200f", "\\u009b", "\\u2028", "\\ufffe")
"""As TOML escapes: a terminal's colour, NUL, text turned round, an isolate, a right-to-left
mark, the one-character escape, a line separator, no character."""

BOX = "[gearbox]\nratios = {{ {} }}\n"


def faults(folder: Path, text: str) -> tuple[Fault, ...]:
    with pytest.raises(FaultsError) as caught:
        load_lathe(write(folder, "lathe.toml", text))
    return caught.value.faults


@pytest.mark.parametrize("mark", MARKS)
@pytest.mark.parametrize(
    "template",
    [
        LEAST.replace("Small", "Sm{}all"),
        LEAST + '[gearbox]\nratios = {{ "A{}" = "1" }}\n',
        LEAST + '[bed]\n"carr{}" = 1\n',
        LEAST + '"tab{}le" = {{ a = [ {{ b = 1 }} ] }}\n',
        LEAST + 'keyway = "{}"\n',
        LEAST + '[[dividing]]\nname = "h{}"\nratio = 40\ncircles = [15]\n',
    ],
)
def test_marks_in_a_lathe_file(tmp_path: Path, template: str, mark: str) -> None:
    text = template.replace("{{", "{").replace("}}", "}").replace("{}", mark)
    (fault,) = faults(tmp_path, text)
    assert fault.line
    assert "a character that is no text: \\" in fault.problem
    assert str(fault).replace("\n", "").isprintable()


@pytest.mark.parametrize("mark", MARKS)
def test_marks_in_wants_and_offers(tmp_path: Path, mark: str) -> None:
    lathe = load_lathe(write(tmp_path, "lathe.toml", LEAST))
    char = json.loads(f'"{mark}"') if mark != "\\u2028" else "\u202d"  # a line end in a table
    for text in (f'series = "iso-metric-coarse{mark}"', f'pitch = "M6{mark}"',
                 f'pitch = "1 mm"\nname = "{mark}"'):  # fmt: skip
        with pytest.raises(FaultsError, match="no text"):
            load_wants(write(tmp_path, "wants.toml", f"[[want]]\n{text}\n"), lathe)
    with pytest.raises(FaultsError, match="no text"):
        load_wants(write(tmp_path, "wants.csv", f"pitch,name\n1 mm,a{char}b\n"), lathe)
    with pytest.raises(FaultsError, match="no text"):
        load_offers(write(tmp_path, "offers.csv", f"teeth,price,note\n20,1,a{char}b\n"), lathe)
    with pytest.raises(FaultsError, match="no text"):
        want_from(f"M6{char}", lathe=lathe)


WELCOME = ("می‌خواهم", "👩‍🔧", "12\u00a0mm", "Ø naïve ×", "中心", "✂️", "🏴󠁧󠁢󠁥󠁮󠁧󠁿")
"""With joiners and non-joiners, a no-break space, a variation selector, a flag of tags."""


@pytest.mark.parametrize("name", WELCOME)
def test_what_people_write_is_welcome(tmp_path: Path, name: str) -> None:
    text = LEAST.replace("Small", name) + BOX.format(f'"{name}" = "1"')
    lathe = load_lathe(write(tmp_path, "lathe.toml", text))
    assert lathe.name == name
    assert lathe.gearbox[0][0] == name
    text = f'[[want]]\npitch = "1 mm"\nname = "{name}"\n'
    assert load_wants(write(tmp_path, "wants.toml", text), lathe)[0].name == name
    text = f"pitch;name\n1 mm;{name}\n"
    expected = " ".join(name.split())  # cells are trimmed
    assert load_wants(write(tmp_path, "wants.csv", text), lathe)[0].name == expected


@pytest.mark.parametrize("name", [" A", "A ", "", "  ", "A\\nB", "x" * 201])
def test_positions_of_a_gearbox_have_names(tmp_path: Path, name: str) -> None:
    (fault,) = faults(tmp_path, LEAST + BOX.format(f'"{name}" = "1"'))
    assert fault.where.startswith("gearbox.ratios.")
    assert fault.line == 9


def test_the_terminal_obeys_nothing_of_a_file_or_its_name(tmp_path: Path) -> None:
    path = write(tmp_path, "la\x1b[31mthe.toml", LEAST + '"k\\u001b[2J" = 1\nzz = 1\n')
    done = run("check", path, tmp_path / "\x1b]0;gone\x07.toml")
    assert done.returncode == 3
    assert (done.stdout + done.stderr).replace("\n", "").isprintable()
    assert "la\\x1b[31mthe.toml, line 8" in done.stderr
    good = write(tmp_path, "go\x1b[31mod.toml", LEAST)
    sheet = tmp_path / "sh\x9beet.html"
    done = run("setup", good, "M6", "--out", sheet)
    assert done.returncode == 0
    assert "\x1b" not in done.stdout + sheet.read_text(encoding="utf-8")
    assert "go\\x1b[31mod.toml" in sheet.read_text(encoding="utf-8")


def test_file_names_that_are_no_utf8_are_read_written_and_shown(tmp_path: Path) -> None:
    path = Path(str(tmp_path / "caf") + "\udce9.toml")
    try:
        path.write_text(LEAST, encoding="utf-8")
    except OSError:
        pytest.skip("this disk takes UTF-8 alone")
    sheet = Path(f"{path}.html")
    done = run("setup", path, "M6", "--out", sheet, "--json", "-")
    assert done.returncode == 0, done.stderr
    assert "caf\\xe9.toml" in sheet.read_text(encoding="utf-8")
    assert json.loads(done.stdout)["kind"] == "setup"
    document = {"files": [str(path)]}
    write_json(tmp_path / "files.json", document)
    assert json.loads((tmp_path / "files.json").read_text(encoding="utf-8")) == document


def test_a_missing_file_with_a_name_that_is_no_utf8() -> None:
    with pytest.raises(FaultsError, match=r"nowhere/\\xff\.toml\n  cannot read this file"):
        load_lathe(Path("nowhere/\udcff.toml"))
