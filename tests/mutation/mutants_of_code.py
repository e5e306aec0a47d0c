"""Small wrong changes of Python source: the slips that a reader would not see at once.

Every place is listed with all that can be done to it; a draw takes places and changes by its seed.
"""

from __future__ import annotations

import ast
import copy
import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ARITHMETIC: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Div,
    ast.Mod: ast.FloorDiv,
    ast.Pow: ast.Mult,
    ast.BitAnd: ast.BitOr,
    ast.BitOr: ast.BitAnd,
}
COMPARED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
}
NAMES = {"min": "max", "max": "min", "any": "all", "all": "any", "floor": "ceil", "ceil": "floor"}
"""Functions taken one for the other; `abs` and `sorted` are left out, see `_of_call`."""
EITHER_WAY = ("min", "max", "np.minimum", "np.maximum", "math.gcd", "math.hypot", "math.isclose")
"""Functions that take their arguments in any order."""
LEAST = 1e-5
"""Smaller numbers are slack for the computer's arithmetic: a tenth more of it is the same."""

UNSEEN = (ast.JoinedStr, ast.arguments, ast.AnnAssign, ast.Import, ast.ImportFrom, ast.Match)
"""Kinds of node whose parts stay as they are, or (annotations) whose annotation does."""


@dataclass(frozen=True)
class Change:
    """One wrong change: `was`, at these characters of `file`, becomes `now`."""

    file: str
    line: int
    start: int
    end: int
    was: str
    now: str

    def applied(self, source: str) -> str:
        """The source with the change made."""
        return source[: self.start] + self.now + source[self.end :]

    @property
    def told(self) -> str:
        """The change on one line."""
        was, now = (" ".join(text.split()) for text in (self.was, self.now))
        return f"{was}  ->  {now}"


def _is_text(node: ast.expr) -> bool:
    """Whether this is certainly text: a `+` there is no sum."""
    return isinstance(node, ast.JoinedStr) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


def _of_number(node: ast.Constant) -> Iterator[ast.AST]:
    value = node.value
    if isinstance(value, bool):
        yield ast.Constant(not value)
    elif isinstance(value, int):
        yield ast.Constant(value + 1)
        if value > 0:
            yield ast.Constant(value - 1)
    elif isinstance(value, float) and not 0 < abs(value) < LEAST:
        yield ast.Constant(value * 1.1 or 1.0)


def _of_call(node: ast.Call) -> Iterator[ast.AST]:
    called = node.func
    plain = not any(isinstance(one, ast.Starred) for one in node.args)
    if isinstance(called, ast.Name) and called.id in NAMES:
        yield ast.Call(ast.Name(NAMES[called.id]), node.args, node.keywords)
    if isinstance(called, ast.Name) and called.id in ("abs", "sorted") and node.args:
        yield node.args[0] if called.id == "abs" else ast.Call(ast.Name("list"), node.args[:1], [])
    either = ast.unparse(called) in EITHER_WAY
    if (
        plain
        and not either
        and len(node.args) == 2
        and ast.dump(node.args[0]) != ast.dump(node.args[1])
    ):
        yield ast.Call(called, node.args[::-1], node.keywords)
    for left, keyword in enumerate(node.keywords):
        if keyword.arg == "strict":
            continue
        yield ast.Call(called, node.args, node.keywords[:left] + node.keywords[left + 1 :])


def changes_of(node: ast.AST) -> Iterator[ast.AST]:
    """All that can be put in this node's place."""
    match node:
        case ast.Constant():
            yield from _of_number(node)
        case ast.BinOp(left, operator, right):
            if type(operator) in ARITHMETIC and not (_is_text(left) or _is_text(right)):
                yield ast.BinOp(left, ARITHMETIC[type(operator)](), right)
        case ast.Compare(left, [operator], comparators):
            yield ast.Compare(left, [COMPARED[type(operator)]()], comparators)
        case ast.BoolOp(operator, values):
            yield ast.BoolOp(ast.Or() if isinstance(operator, ast.And) else ast.And(), values)
            for left in range(len(values)):
                rest = values[:left] + values[left + 1 :]
                yield rest[0] if len(rest) == 1 else ast.BoolOp(operator, rest)
        case ast.UnaryOp(ast.Not() | ast.USub(), operand):
            yield operand
        case ast.IfExp(test, body, orelse):
            yield ast.IfExp(test, orelse, body)
        case ast.Call():
            yield from _of_call(node)
        case ast.AugAssign(target, operator, value) if type(operator) in ARITHMETIC:
            yield ast.AugAssign(target, ARITHMETIC[type(operator)](), value)
        case ast.Expr(ast.Call()):
            yield ast.Pass()
        case ast.Continue():
            yield ast.Break()
        case ast.Break():
            yield ast.Continue()


def _seen(node: ast.AST) -> Iterator[ast.AST]:
    """The nodes below this one whose change changes what the program does."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.AnnAssign):
            if child.value is not None:
                yield child.value
                yield from _seen(child.value)
        elif isinstance(child, ast.If) and ast.unparse(child.test) == "TYPE_CHECKING":
            continue
        elif isinstance(child, ast.keyword) and child.arg == "strict":
            continue  # `zip` looks at what is so by construction
        elif isinstance(child, ast.arguments):
            for default in [*child.defaults, *filter(None, child.kw_defaults)]:
                yield default
                yield from _seen(default)
        elif not isinstance(child, UNSEEN):
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and child in node.decorator_list:
                continue
            if isinstance(node, ast.FunctionDef) and child is node.returns:
                continue
            yield child
            yield from _seen(child)


def _offsets(source: str) -> list[int]:
    """Where each line starts, in characters."""
    starts = [0]
    for line in source.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))
    return starts


def places(path: Path, name: str) -> list[list[Change]]:
    """What can be done to this file: a list a place, of its changes."""
    source = path.read_text(encoding="utf-8")
    starts = _offsets(source)
    lines = source.splitlines(keepends=True)

    def at(line: int, column: int) -> int:
        return starts[line - 1] + len(lines[line - 1].encode()[:column].decode())

    found = []
    for node in _seen(ast.parse(source)):
        if not isinstance(node, ast.expr | ast.stmt) or node.end_lineno is None:
            continue
        start = at(node.lineno, node.col_offset)
        end = at(node.end_lineno, node.end_col_offset or 0)
        changes = []
        for other in changes_of(node):
            text = ast.unparse(ast.fix_missing_locations(copy.deepcopy(other)))
            now = f"({text})" if isinstance(node, ast.expr) else text
            changes.append(Change(name, node.lineno, start, end, source[start:end], now))
        if changes:
            found.append(changes)
    return found


def drawn(root: Path, files: list[str], count: int, seed: int) -> list[Change]:
    """So many places out of all of these files, each as likely as any other, one change a place."""
    draw = random.Random(seed)
    everywhere = [place for name in files for place in places(root / name, name)]
    return [draw.choice(place) for place in draw.sample(everywhere, min(count, len(everywhere)))]
