"""One dialect of operations: the record changed comes first, all else by keyword; who, why and when are handed in."""

import ast
import importlib
import inspect
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parent.parent
TOLD = {"person", "reason", "now"}
CLOCKS = {"timezone.now()", "timezone.localdate()", "timezone.localtime()", "date.today()", "datetime.now()"}


def files() -> list[Path]:
    """Every file of a `changes` module or package of the shop."""
    return sorted([*ROOT.glob("shop/*/changes.py"), *ROOT.glob("shop/*/changes/*.py")])


def operations() -> Iterator[tuple[str, Callable[..., Any]]]:
    """Every public function of those files that is told who acts, why or when, by room and name."""
    for file in files():
        name = ".".join(file.relative_to(ROOT).with_suffix("").parts)
        module = importlib.import_module(name.removesuffix(".__init__"))
        for function_name, function in inspect.getmembers(module, inspect.isfunction):
            own = function.__module__ == module.__name__ and not function_name.startswith("_")
            if own and TOLD & set(inspect.signature(function).parameters):
                yield f"{file.parts[len(ROOT.parts) + 1]}:{function_name}", function


EVERY = pytest.mark.parametrize("operation", [one for _, one in operations()], ids=[name for name, _ in operations()])


def parameters(operation: Callable[..., Any]) -> dict[str, inspect.Parameter]:
    return dict(inspect.signature(operation).parameters)


@EVERY
def test_all_but_the_record_is_named_by_whoever_calls(operation: Callable[..., Any]) -> None:
    unnamed = [one.name for one in parameters(operation).values() if one.kind is one.POSITIONAL_OR_KEYWORD]
    assert len(unnamed) <= 1, f"only the record may come without its name, not {unnamed}"
    assert not {"person", "reason", "now", "today"} & set(unnamed)


@EVERY
def test_the_moment_is_handed_in(operation: Callable[..., Any]) -> None:
    optional = [
        name
        for name in ("person", "now", "today")
        if (given := parameters(operation).get(name)) and given.default is not given.empty
    ]
    assert not optional, f"{optional} is never left to the operation"


@EVERY
def test_it_says_who_and_why_by_one_word(operation: Callable[..., Any]) -> None:
    assert not {"by", "user", "why", "because", "when", "at"} & set(parameters(operation))


@pytest.mark.parametrize("file", files(), ids=[str(file.relative_to(ROOT / "shop")) for file in files()])
def test_no_operation_reads_the_clock(file: Path) -> None:
    calls = [ast.unparse(node) for node in ast.walk(ast.parse(file.read_text())) if isinstance(node, ast.Call)]
    assert CLOCKS.intersection(calls) == set()
