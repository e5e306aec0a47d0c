"""The house rules of the source: which room may use which."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
LONGEST = 300
"""Lines of a module: one concept a file."""

PARTS = {
    "optimizer": set(),
    "catalogs": {"optimizer"},
    "reports": {"optimizer"},
    "cli": {"optimizer", "catalogs", "reports"},
}
"""Part: the other parts it may import."""

ROOMS = {
    "domain": set(),
    "threads": {"domain"},
    "strength": {"domain"},
    "arm": {"domain"},
    "search": {"domain", "threads", "strength", "arm"},
    "making": {"domain", "threads", "strength", "arm", "search"},
    "plan": {"domain", "threads", "strength", "arm", "search", "making"},
    "turning": {"domain", "threads", "strength", "arm", "search", "making"},
    "chart": {"domain", "threads", "strength", "arm", "search", "making", "plan", "turning"},
}
"""Room of `optimizer/`: the other rooms it may import."""


def modules(part: str) -> Iterator[Path]:
    """Every Python file of a part."""
    return (ROOT / part).rglob("*.py")


def imported(path: Path) -> Iterator[tuple[str, ...]]:
    """What a file imports of the project: ("optimizer", "domain", "pitch")."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            assert not node.level, f"{path}: relative import"
            names = [f"{node.module}.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        else:
            continue
        for name in names:
            top, *rest = name.split(".")
            if top == "gearchest":
                yield tuple(rest)


@pytest.mark.parametrize("part", PARTS)
def test_parts_import_one_way(part: str) -> None:
    for path in modules(part):
        for target in imported(path):
            assert target[0] == part or target[0] in PARTS[part], f"{path}: {'.'.join(target)}"


@pytest.mark.parametrize("room", ROOMS)
def test_rooms_of_the_optimizer_import_downwards(room: str) -> None:
    for path in modules(f"optimizer/{room}"):
        for target in imported(path):
            if target[0] == "optimizer":
                assert target[1] == room or target[1] in ROOMS[room], f"{path}: {'.'.join(target)}"


def test_no_modules_import_in_a_circle() -> None:
    """Imports for type checking alone count too."""
    files = {
        path.relative_to(ROOT).with_suffix("").parts: path
        for part in PARTS
        for path in modules(part)
    }
    needs = {
        name: {target[:n] for target in imported(path) for n in (len(target) - 1, len(target))}
        for name, path in files.items()
    }
    list(TopologicalSorter({name: needs[name] & files.keys() for name in files}).static_order())


@pytest.mark.parametrize("part", ["optimizer", "reports"])
def test_no_module_lies_flat(part: str) -> None:
    assert [path.name for path in (ROOT / part).glob("*.py")] == ["__init__.py"]


@pytest.mark.parametrize("part", ["optimizer", "reports"])
def test_no_module_is_longer_than_three_hundred_lines(part: str) -> None:
    lines = {path: path.read_text(encoding="utf-8").count("\n") for path in modules(part)}
    assert {path: count for path, count in lines.items() if count > LONGEST} == {}


def test_one_class_name_names_one_thing() -> None:
    names = Counter(
        node.name
        for part in PARTS
        for path in modules(part)
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.ClassDef)
    )
    assert {name: count for name, count in names.items() if count > 1} == {}


def test_every_room_is_named() -> None:
    rooms = {path.parent.name for path in (ROOT / "optimizer").glob("*/__init__.py")}
    assert rooms == set(ROOMS)
