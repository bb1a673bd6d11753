"""Do the tests notice? Every calculation is spoiled in one small place at a time, and its tests are run.

    python -m tests.mutate                               all calculations, without their drawings
    python -m tests.mutate --drawings clutch-capacity    one of them, with its drawing

Each survivor is printed with its line.

What is spoiled: + and −, × and ÷, powers, comparisons, and/or, not, every number by one, conditions by their opposite,
and the operators inside the formulas of the working. A spoiled place that no test notices is a survivor. Those in the
drawing of a calculation are counted apart: most only move a line or a word on the sheet.
"""

from __future__ import annotations

import ast
import copy
import importlib
import itertools
import os
import signal
import sys
import types
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[1]
_SECONDS = 120
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


def noticed(name: str, mutant: Spoiled) -> bool:
    """Run the tests of a calculation with a mutant in its place, in a process of its own."""
    child = os.fork()
    if child == 0:
        os._exit(_run(name, mutant.tree))
    _, status = os.waitpid(child, 0)
    return status != 0


def _run(name: str, tree: ast.Module) -> int:
    """1 where a test notices. Tests are called as the functions they are: starting pytest takes longer than they do."""
    signal.alarm(_SECONDS)
    silence = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silence, 1)
    os.dup2(silence, 2)
    try:
        _put_in_place(name, tree)
        _common_tests(name)
        _own_tests(name)
    except BaseException:  # a failed test, and a file that cannot even be read
        return 1
    return 0


def _own_tests(name: str) -> None:
    path = f"tests.specs.calculations.test_{name.replace('-', '_')}"
    sys.modules.pop(path, None)  # it holds the calculation that it was read with
    module = importlib.import_module(path)
    for called, test in vars(module).items():
        if called.startswith("test_"):
            for arguments in _parameters(test):
                test(**arguments)


def _parameters(test: Callable[..., None]) -> Iterator[dict[str, object]]:
    """What a parametrised test is called with, every combination; once with nothing for a plain one."""
    sets = []
    for mark in getattr(test, "pytestmark", []):
        names = mark.args[0]
        names = [one.strip() for one in names.split(",")] if isinstance(names, str) else list(names)
        rows = (row.values if type(row).__name__ == "ParameterSet" else row for row in mark.args[1])
        sets.append([dict(zip(names, row if len(names) > 1 else (row,), strict=True)) for row in rows])
    for chosen in itertools.product(*sets):
        yield {name: value for part in chosen for name, value in part.items()}


def _same_contract(name: str) -> None:
    from specs.engine.calculation import calculations
    from tests.contract import KEPT, lines_of

    block = "\n".join((name, *lines_of(calculations()[name])))
    assert f"{block}\n" in KEPT.read_text(encoding="utf-8")


def _common_tests(name: str) -> None:
    """The tests that all calculations share."""
    from specs.engine.calculation import calculations
    from tests.published import test_reference_cases as published
    from tests.specs import test_every_calculation as every

    _same_contract(name)
    for test in (value for called, value in vars(every).items() if called.startswith("test_")):
        test(calculations()[name])
    for cases, test in (
        (published.CASES, published.test_a_reference_case_holds),
        (published.CASES, published.test_its_working_shows_the_same_figures),
        (published.BAD, published.test_a_bad_input_is_named),
    ):
        for case in cases:
            if case["calculation"] == name:
                test(case)


def _put_in_place(name: str, tree: ast.Module) -> None:
    from specs import calculations as folder
    from specs.engine.calculation import calculations

    short = name.replace("-", "_")
    path = f"specs.calculations.{short}"
    module = types.ModuleType(path)
    module.__file__ = str(ROOT / "specs" / "calculations" / f"{short}.py")
    sys.modules[path] = module
    setattr(folder, short, module)
    exec(compile(tree, module.__file__, "exec"), module.__dict__)
    calculations.cache_clear()


def _prepare() -> None:
    """Import once what every child needs, and keep random tests short and the same."""
    os.chdir(ROOT)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    import django
    from hypothesis import Phase, settings

    django.setup()
    for module in (
        "numpy",
        "scipy.linalg",
        "scipy.optimize",
        "pytest",
        "specs.engine.bands",
        "specs.engine.working",
        "tests.conftest",
    ):
        importlib.import_module(module)
    # After the tests' own profile: an example that fails is enough, it need not be the smallest.
    settings.register_profile(
        "mutate",
        max_examples=20,
        derandomize=True,
        database=None,
        deadline=None,
        phases=[Phase.explicit, Phase.generate],
    )
    settings.load_profile("mutate")


def main(names: list[str], *, with_drawing: bool) -> None:
    """Spoil, run, print the survivors and the score."""
    _prepare()
    from specs.engine.calculation import calculations

    total: dict[bool, list[int]] = {False: [0, 0], True: [0, 0]}
    for name in names or list(calculations()):
        source = (ROOT / "specs" / "calculations" / f"{name.replace('-', '_')}.py").read_text(encoding="utf-8")
        # As it is, the tests must pass; done here, what they import and keep is there for every child.
        _common_tests(name)
        _own_tests(name)
        here: dict[bool, list[int]] = {False: [0, 0], True: [0, 0]}
        for mutant in spoiled(source, with_drawing=with_drawing):
            told = noticed(name, mutant)
            here[mutant.in_drawing][0] += told
            here[mutant.in_drawing][1] += 1
            if not told:
                print(f"  {name}:{mutant.line}: {'(drawing) ' if mutant.in_drawing else ''}{mutant.what}", flush=True)
        _print_score(name, here)
        for part in total:
            total[part] = [a + b for a, b in zip(total[part], here[part], strict=True)]
    _print_score("all", total)


def _print_score(name: str, counts: dict[bool, list[int]]) -> None:
    (told, made), (drawn_told, drawn) = counts[False], counts[True]
    of_drawing = f"; in drawings {drawn_told} of {drawn}" if drawn else ""
    print(f"{name}: {told} of {made} noticed, {told / max(made, 1):.0%}{of_drawing}", flush=True)


if __name__ == "__main__":
    main([word for word in sys.argv[1:] if word != "--drawings"], with_drawing="--drawings" in sys.argv)
