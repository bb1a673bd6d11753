"""How the modules lean on one another: short chains and no circles, imports inside functions counted as well.

Import contracts (`lint-imports`) say which room may use which; this file holds how deep one has to read.
"""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import networkx
import pytest

from tests.trace_flow import Trace, flow, frame, lines_of, trace

ROOT = Path(__file__).resolve().parent.parent
LONGEST_CHAIN = 12
CARD = "83 files run, 20 of them on every page (sign-in, menu, forms, search): 63 are the flow's own"
MOST_FILES, LONGEST_FILE = 65, 300


def modules() -> dict[str, Path]:
    """Every module of the shop and the specs by its dotted name."""
    paths = [path for package in ("shop", "specs") for path in (ROOT / package).rglob("*.py")]
    names = {".".join(path.relative_to(ROOT).with_suffix("").parts): path for path in paths}
    return {name.removesuffix(".__init__"): path for name, path in names.items() if ".migrations." not in name}


def imports() -> networkx.DiGraph:
    """Which module imports which at run time."""
    known = modules()
    arrows = [
        (name, found)
        for name, path in known.items()
        for written in _imported(ast.parse(path.read_text(encoding="utf-8")))
        if (found := _module_of(written, known)) and found != name
    ]
    return networkx.DiGraph(arrows)


def _imported(tree: ast.AST) -> Iterator[str]:
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test):
            continue
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield from (f"{node.module}.{alias.name}" for alias in node.names)
        yield from _imported(node)


def _module_of(written: str, known: dict[str, Path]) -> str:
    while written and written not in known:
        written = written.rpartition(".")[0]
    return written


def test_no_modules_import_one_another_in_a_circle() -> None:
    assert [sorted(circle) for circle in networkx.strongly_connected_components(imports()) if len(circle) > 1] == []


def test_the_longest_chain_of_imports_can_be_read() -> None:
    chain = networkx.dag_longest_path(imports())
    assert len(chain) <= LONGEST_CHAIN, " → ".join(chain)


@cache
def run_through() -> tuple[Trace, Trace]:
    """What runs from a measurement to a card, and on a page that has nothing to do with it; each on a warm process."""
    flow("first")()
    frame("first")()
    return trace(flow("second")), trace(frame("second"))


@pytest.mark.django_db
def test_from_a_measurement_to_a_card_runs_through_few_and_short_files() -> None:
    seen, of_every_page = run_through()
    own = seen.keys() - of_every_page.keys()
    assert len(own) <= MOST_FILES, "\n".join(sorted(own))
    assert {file for file in seen if lines_of(file) > LONGEST_FILE} == set()


@pytest.mark.xfail(reason=CARD, strict=True)
@pytest.mark.django_db
def test_so_it_does_with_the_frame_of_every_page() -> None:
    seen, _ = run_through()
    assert len(seen) <= MOST_FILES, "\n".join(sorted(seen))
