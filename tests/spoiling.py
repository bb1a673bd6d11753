"""Spoiling a file of source in one small place at a time: what `python -m tests.mutate` tries its tests on.

What is spoiled: + and −, × and ÷, powers, comparisons, and/or, not, every number by one, conditions by their opposite,
and the operators inside the formulas of the working.
"""

from __future__ import annotations

import ast
import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass

_SWAPPED: dict[type, tuple[type, ...]] = {
    ast.Add: (ast.Sub,),
    ast.Sub: (ast.Add,),
    ast.Mult: (ast.Div,),
    ast.Div: (ast.Mult,),
    ast.Pow: (ast.Mult,),
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.And: (ast.Or,),
    ast.Or: (ast.And,),
}
_IN_FORMULAS = ((" + ", " - "), (" - ", " + "), (" * ", " / "), (" / ", " * "), ("**2", "**3"))
_ROOTS = ("solve", "working", "checks", "warn")


@dataclass(frozen=True)
class Spoiled:
    """One mutant: where it is, what was done, and the whole tree with it."""

    line: int
    what: str
    tree: ast.Module
    in_drawing: bool


Change = tuple[ast.AST, str, Callable[[ast.AST], None]]


def _changes(tree: ast.Module) -> Iterator[Change]:
    """Every place that can be spoiled, with a function that spoils it."""
    for node in _walk(tree):
        yield from _operators(node)
        if isinstance(node, (ast.If, ast.IfExp)):
            yield node, "the opposite condition", _negate
        elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
            yield node, "without not", lambda n: setattr(n, "op", ast.UAdd())
        elif isinstance(node, ast.Constant) and type(node.value) in (int, float):
            yield node, f"{node.value} → {node.value + 1}", lambda n: setattr(n, "value", n.value + 1)
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "WorkingStep":
            yield from _formula(node)


def _walk(node: ast.AST) -> Iterator[ast.AST]:
    """Every node but those of the example, whose numbers are nobody's claim."""
    yield node
    for child in ast.iter_child_nodes(node):
        if not (isinstance(child, ast.keyword) and child.arg == "example"):
            yield from _walk(child)


def _operators(node: ast.AST) -> Iterator[Change]:
    """Operators of arithmetic, comparison and logic, each by its neighbours."""
    if isinstance(node, (ast.BinOp, ast.BoolOp)):
        for other in _SWAPPED.get(type(node.op), ()):
            yield node, f"{type(node.op).__name__} → {other.__name__}", lambda n, o=other: setattr(n, "op", o())
    elif isinstance(node, ast.Compare):
        for at, op in enumerate(node.ops):
            for other in _SWAPPED.get(type(op), ()):
                yield (
                    node,
                    f"{type(op).__name__} → {other.__name__}",
                    lambda n, at=at, o=other: n.ops.__setitem__(at, o()),
                )


def _negate(node: ast.AST) -> None:
    assert isinstance(node, (ast.If, ast.IfExp))
    node.test = ast.UnaryOp(ast.Not(), node.test)


def _formula(step: ast.Call) -> Iterator[Change]:
    """The operators of a formula that is written as text."""
    formula = step.args[0]
    pieces = [formula] if isinstance(formula, ast.Constant) else getattr(formula, "values", [])
    for piece in pieces:
        if isinstance(piece, ast.Constant) and isinstance(piece.value, str):
            for old, new in _IN_FORMULAS:
                if old in piece.value:
                    text = piece.value.replace(old, new, 1)
                    yield piece, f"formula {text}", lambda n, t=text: setattr(n, "value", t)


def _drawing_lines(tree: ast.Module) -> set[int]:
    """Lines of the functions, and of the constants, that only the drawing uses."""
    functions = {node.name: node for node in tree.body if isinstance(node, ast.FunctionDef)}
    constants = {
        target.id: node
        for node in tree.body
        if isinstance(node, (ast.Assign, ast.AnnAssign))
        for target in ast.walk(node.targets[0] if isinstance(node, ast.Assign) else node.target)
        if isinstance(target, ast.Name) and target.id != "CALCULATION"
    }
    known: dict[str, ast.AST] = {**functions, **constants}

    def reached(starts: tuple[str, ...]) -> set[str]:
        seen: set[str] = set()
        waiting = [name for name in starts if name in known]
        while waiting:
            name = waiting.pop()
            if name not in seen:
                seen.add(name)
                names = {node.id for node in ast.walk(known[name]) if isinstance(node, ast.Name)}
                waiting += [other for other in names if other in known]
        return seen

    drawn = reached(("drawing",)) - reached(_ROOTS)
    return {line for name in drawn for line in range(known[name].lineno, known[name].end_lineno + 1)}


def spoiled(source: str, *, with_drawing: bool) -> Iterator[Spoiled]:
    """Every mutant of a file's source, those of its drawing where they are wanted."""
    tree = ast.parse(source)
    drawn = _drawing_lines(tree)
    for at, (node, what, _) in enumerate(_changes(tree)):
        if node.lineno in drawn and not with_drawing:
            continue
        twin = copy.deepcopy(tree)
        place, _, spoil = next(change for k, change in enumerate(_changes(twin)) if k == at)
        spoil(place)
        yield Spoiled(node.lineno, what, ast.fix_missing_locations(twin), node.lineno in drawn)
