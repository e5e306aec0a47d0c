"""Where a change of the source stands: in which function, on which line, and what becomes of it."""

from __future__ import annotations

import ast
import csv
from dataclasses import dataclass
from pathlib import Path

from mutants_of_code import Change

Scope = ast.FunctionDef | ast.ClassDef


@dataclass(frozen=True, order=True)
class Place:
    """A change as it is known again when lines above it come and go."""

    file: str
    within: str
    """Qualified name of the innermost function or class, "" at module level."""
    line: str
    """The source line, without its indent."""
    change: str


def scopes(tree: ast.Module, line: int) -> list[Scope]:
    """Classes and functions around a line, outermost first."""
    found: list[Scope] = []
    body: list[ast.AST] = [tree]
    while body:
        node = body.pop()
        for child in ast.iter_child_nodes(node):
            if child.__class__ not in (ast.FunctionDef, ast.ClassDef):
                body.append(child)
            elif isinstance(child, Scope) and child.lineno <= line <= (child.end_lineno or 0):
                found.append(child)
                body = [child]
                break
    return found


def place(change: Change, source: str) -> Place:
    """Where this change of `source` stands."""
    within = ".".join(scope.name for scope in scopes(ast.parse(source), change.line))
    return Place(change.file, within, source.splitlines()[change.line - 1].strip(), change.told)


def replaceable(change: Change, source: str) -> tuple[str, int] | None:
    """Qualified name and first line of the outermost function whose body the change is in.

    None where it runs as the module is read: the module must be read again then.
    """
    names = []
    for scope in scopes(ast.parse(source), change.line):
        names.append(scope.name)
        if isinstance(scope, ast.FunctionDef):
            if change.line < scope.body[0].lineno:
                return None
            first = min([scope.lineno, *(one.lineno for one in scope.decorator_list)])
            return ".".join(names), first
    return None


def named_there(change: Change, source: str) -> str | None:
    """What is defined where this change is made, of a constant or a field."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Assign | ast.AnnAssign) and (
            node.lineno <= change.line <= (node.end_lineno or 0)
        ):
            for target in node.targets if isinstance(node, ast.Assign) else [node.target]:
                return target.id if isinstance(target, ast.Name) else None
    return None


def equivalent(listed: Path) -> set[Place]:
    """Changes that change nothing anybody could see, as listed with their reasons."""
    with listed.open(encoding="utf-8", newline="") as rows:
        return {
            Place(row["file"], row["within"], row["line"], row["change"])
            for row in csv.DictReader(rows)
        }
