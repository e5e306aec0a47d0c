"""Templates kept as bytecode: only ever those that stand there now."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import jinja2
import pytest

from gearchest.reports.page.compiled import environment

NAME = "kept_templates_of_a_test"


@pytest.fixture
def package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    folder = tmp_path / NAME
    (folder / "some").mkdir(parents=True)
    (folder / "__init__.py").touch()
    monkeypatch.syspath_prepend(tmp_path)
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    yield folder
    sys.modules.pop(NAME, None)


@pytest.fixture
def compiled(monkeypatch: pytest.MonkeyPatch) -> list[str | None]:
    """The names of the templates compiled."""
    names: list[str | None] = []
    compile_: Callable[..., object] = jinja2.Environment.compile

    def noted(self: object, source: str, name: str | None = None, *rest: object) -> object:
        names.append(name)
        return compile_(self, source, name, *rest)

    monkeypatch.setattr(jinja2.Environment, "compile", noted)
    return names


def filled(package: Path, text: str, *, last_newline: bool = False) -> str:
    (package / "some" / "page.j2").write_text(text, encoding="utf-8")
    made = environment(NAME, last_newline=last_newline)
    return made.get_template("some/page.j2").render(thread="M6 < M8")


def kept(package: Path) -> list[Path]:
    return [path for path in (package / "__pycache__").iterdir() if path.suffix != ".pyc"]


def test_a_template_is_compiled_once(package: Path, compiled: list[str | None]) -> None:
    assert [filled(package, "{{ thread }}") for _ in range(3)] == ["M6 &lt; M8"] * 3
    assert compiled == ["some/page.j2"]
    (path,) = kept(package)
    assert path.name.startswith("some.page.j2.")


def test_another_text_or_another_way_of_reading_it_is_compiled_anew(package: Path) -> None:
    assert filled(package, "{{ thread }}\n") == "M6 &lt; M8"
    assert filled(package, "{{ thread }}\n", last_newline=True) == "M6 &lt; M8\n"
    assert filled(package, "{{ thread }}!\n") == "M6 &lt; M8!"


@pytest.mark.parametrize("part", [0, 5, 40, 200])
def test_a_damaged_file_is_made_again(package: Path, part: int, compiled: list[str | None]) -> None:
    filled(package, "{{ thread }}")
    (path,) = kept(package)
    whole = path.read_bytes()
    path.write_bytes(whole[:part])
    assert filled(package, "{{ thread }}") == "M6 &lt; M8"
    assert path.read_bytes() == whole
    path.write_bytes(whole[:part] + b"\x80" * 40)
    assert filled(package, "{{ thread }}") == "M6 &lt; M8"
    assert len(compiled) == 3


def test_where_nothing_can_be_kept_it_is_compiled_each_time(
    package: Path, compiled: list[str | None]
) -> None:
    (package / "__pycache__").write_text("in the way")
    assert [filled(package, "{{ thread }}") for _ in range(2)] == ["M6 &lt; M8"] * 2
    assert len(compiled) == 2


def test_nothing_is_kept_where_python_keeps_nothing(
    package: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    assert filled(package, "{{ thread }}") == "M6 &lt; M8"
    assert not (package / "__pycache__").exists()
