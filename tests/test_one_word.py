"""A page is found by its address: one word in the address's name, its view, its file, its template and its test."""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from tests.addresses import Address, addresses

ROOT = Path(__file__).parent.parent
# Django's own views, and addresses that stand for a page of another room.
ELSEWHERE = {"people:sign-out", "people:sign-in", "people:own-password", "s:number"}
OURS = [address for name, address in sorted(addresses().items()) if name not in ELSEWHERE]
EVERY = pytest.mark.parametrize("address", OURS, ids=[address.name for address in OURS])


def view_name(address: Address) -> str:
    return address.name.partition(":")[2].replace("-", "_")


def module_of(address: Address) -> list[str]:
    return address.view.__module__.split(".")


@EVERY
def test_the_view_bears_the_name_of_its_address(address: Address) -> None:
    room = address.name.partition(":")[0]
    assert address.view.__name__ == view_name(address)
    assert module_of(address)[:3] == ["shop", room, "views"]


@EVERY
def test_its_file_is_named_after_the_thing(address: Address) -> None:
    first = view_name(address).split("_")[0]
    file = module_of(address)[-1].split("_")[0]
    assert file in (first, first.removesuffix("s"), f"{first}s", "person" if first == "people" else first)


@cache
def files_of(room: str) -> dict[str, str]:
    return {file.stem: file.read_text() for file in (ROOT / "tests" / "shop" / room).glob("test_*.py")}


@EVERY
def test_a_test_file_of_that_thing_opens_it(address: Address) -> None:
    room, module = module_of(address)[1], module_of(address)[-1]
    files = {name: text for name, text in files_of(room).items() if name.startswith(f"test_{module}")}
    assert files, f"tests/shop/{room}/test_{module}.py is missing"
    # "jobs/steps/<int:pk>/start/": a test that reaches it names the address, or every word of the path.
    words = [word for word in re.split(r"/|<[^>]+>", address.route) if re.fullmatch(r"[a-z-]+", word)]
    named = [
        address.name in text or all(re.search(rf"[/\"'}}]{word}[/\"']", text) for word in words[1:])
        for text in files.values()
    ]
    assert any(named), f"no test in {sorted(files)} opens {address.name}"


def own_templates() -> Iterator[tuple[Path, set[str]]]:
    """Each page's template, with the view files that render it."""
    rendered: dict[str, set[str]] = {}
    for file in (ROOT / "shop").glob("*/views/*.py"):
        for node in ast.walk(ast.parse(file.read_text())):
            if isinstance(node, ast.FunctionDef):
                for name in re.findall(r'"(\w+/\w+\.html)"', ast.unparse(node).replace("'", '"')):
                    rendered.setdefault(name, set()).add(node.name)
    for file in sorted((ROOT / "templates").glob("*/*.html")):
        if not file.name.startswith("_") and file.parent.name != "base":
            yield file, rendered.get(f"{file.parent.name}/{file.name}", set())


# Rendered by a class, or by a function that several views share.
SHARED = {
    "planning/notices",
    "worksheets/worksheet",
    "people/sign_in",
    "people/locked_out",
    "people/own_password",
    "plate/refused",
}


def test_a_template_bears_the_name_of_the_view_that_renders_it() -> None:
    wrong = {}
    for file, views in own_templates():
        name = f"{file.parent.name}/{file.stem}"
        if name not in SHARED and file.stem not in views and not any(view.lstrip("_") == file.stem for view in views):
            wrong[name] = sorted(views)
    assert wrong == {}
