"""Do the tests notice? A file is spoiled in one small place at a time, and the tests of its calculations are run.

    python -m tests.mutate                                all calculations, without their drawings
    python -m tests.mutate --drawings clutch-capacity     one of them, with its drawing
    python -m tests.mutate joints/bolted geometry/cardan  what calculations share, by the tests of all that use it

Each survivor is printed with its line. A spoiled place that no test notices is a survivor. Those in the drawing of a
calculation are counted apart: most only move a line or a word on the sheet. Of a file with more than 400 places as
many are tried, drawn with a fixed seed, and the score says so.
"""

from __future__ import annotations

import ast
import functools
import importlib
import itertools
import os
import random
import signal
import sys
import types
from collections.abc import Callable, Iterator
from pathlib import Path

from tests.spoiling import Spoiled, spoiled

ROOT = Path(__file__).parents[1]
_SECONDS = 60
_MOST, _SEED = 400, 7
# What depends on a spoiled file is read again with it: these folders, but never what they themselves stand on.
_READ_AGAIN = ("specs.calculations.", "specs.joints.", "specs.plate.", "specs.geometry.", "tests.specs.")


def noticed(place: str, mutant: Spoiled) -> bool:
    """Run the tests of a file (`joints/bolted`) with a mutant in its place, in a process of its own."""
    child = os.fork()
    if child == 0:
        os._exit(_run(place, mutant.tree))
    _, status = os.waitpid(child, 0)
    return status != 0


def _run(place: str, tree: ast.Module) -> int:
    """1 where a test notices. Tests are called as the functions they are: starting pytest takes longer than they do."""
    signal.alarm(_SECONDS)
    silence = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silence, 1)
    os.dup2(silence, 2)
    try:
        _put_in_place(place, tree)
        _every_test(place)
    except BaseException:  # a failed test, and a file that cannot even be read
        return 1
    return 0


def _every_test(place: str) -> None:
    for name in users_of(place):
        _common_tests(name)
        _tests_of(f"calculations/{name.replace('-', '_')}")
    if not place.startswith("calculations/"):
        _tests_of(place)


@functools.cache
def users_of(place: str) -> tuple[str, ...]:
    """The calculations that a file is, or that stand on it, by name."""
    files = {path.stem: path for path in (ROOT / "specs" / "calculations").glob("[a-z]*.py")}
    wanted = f"specs.{place.replace('/', '.')}"
    return tuple(name.replace("_", "-") for name, path in sorted(files.items()) if wanted in _stands_on(path))


@functools.cache
def _stands_on(path: Path) -> frozenset[str]:
    """The modules of specs that a file imports, and those that they import, and its own."""
    own = ".".join(path.relative_to(ROOT).with_suffix("").parts)
    found = {own}
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("specs."):
            for name in (node.module, *(f"{node.module}.{alias.name}" for alias in node.names)):
                imported = ROOT / f"{name.replace('.', '/')}.py"
                if imported.is_file() and not name.startswith("specs.engine"):
                    found |= _stands_on(imported)
    return frozenset(found)


def _tests_of(place: str) -> None:
    folder, name = place.split("/")
    path = f"tests.specs.{folder}.test_{name}"
    if not (ROOT / f"{path.replace('.', '/')}.py").is_file():
        return
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
    if calculations()[name].solve_all:
        _solved_together(name)


def _solved_together(name: str) -> None:
    from specs.engine.calculation import calculations
    from tests.specs.engine import test_solve_all as together

    for share in (0.0, 0.1):
        together.test_many_at_once_are_solved_as_each_alone(calculations()[name], share)
    for one, changes in together.BESIDE_THE_EXAMPLES:
        if one == name:
            together.test_other_ways_are_solved_alike_too(one, changes)
    if name == "plate-layout":
        together.test_a_plate_whose_holes_meet_is_worked_out_as_it_is_alone()


def _put_in_place(place: str, tree: ast.Module) -> None:
    from specs.engine.calculation import calculations

    path = f"specs.{place.replace('/', '.')}"
    if not place.startswith("calculations/"):  # no calculation stands on another
        for name in [name for name in sys.modules if name.startswith(_READ_AGAIN)]:
            del sys.modules[name]
    module = types.ModuleType(path)
    module.__file__ = str(ROOT / "specs" / f"{place}.py")
    sys.modules[path] = module
    parent, _, short = path.rpartition(".")
    setattr(importlib.import_module(parent), short, module)
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


def main(words: list[str], *, with_drawing: bool) -> None:
    """Spoil, run, print the survivors and the score."""
    _prepare()
    from specs.engine.calculation import calculations

    total: dict[bool, list[int]] = {False: [0, 0], True: [0, 0]}
    for word in words or list(calculations()):
        place = word if "/" in word else f"calculations/{word.replace('-', '_')}"
        # As it is, the tests must pass; done here, what they import and keep is there for every child.
        _every_test(place)
        here: dict[bool, list[int]] = {False: [0, 0], True: [0, 0]}
        for mutant in _tried(word, place, with_drawing):
            told = noticed(place, mutant)
            here[mutant.in_drawing][0] += told
            here[mutant.in_drawing][1] += 1
            if not told:
                print(f"  {word}:{mutant.line}: {'(drawing) ' if mutant.in_drawing else ''}{mutant.what}", flush=True)
        _print_score(word, here)
        for part in total:
            total[part] = [a + b for a, b in zip(total[part], here[part], strict=True)]
    _print_score("all", total)


def _tried(word: str, place: str, with_drawing: bool) -> Iterator[Spoiled]:
    source = (ROOT / "specs" / f"{place}.py").read_text(encoding="utf-8")
    count = sum(1 for _ in spoiled(source, with_drawing=with_drawing))
    drawn = set(random.Random(_SEED).sample(range(count), min(count, _MOST)))
    if count > _MOST:
        print(f"{word}: {_MOST} of {count} places, drawn with seed {_SEED}", flush=True)
    yield from (mutant for at, mutant in enumerate(spoiled(source, with_drawing=with_drawing)) if at in drawn)


def _print_score(name: str, counts: dict[bool, list[int]]) -> None:
    (told, made), (drawn_told, drawn) = counts[False], counts[True]
    of_drawing = f"; in drawings {drawn_told} of {drawn}" if drawn else ""
    print(f"{name}: {told} of {made} noticed, {told / max(made, 1):.0%}{of_drawing}", flush=True)


if __name__ == "__main__":
    main([word for word in sys.argv[1:] if word != "--drawings"], with_drawing="--drawings" in sys.argv)
