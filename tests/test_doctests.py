"""The examples in docstrings run, and give what they show."""

import doctest
from importlib import import_module
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
FILES = [
    path for room in ("shop", "specs") for path in sorted((ROOT / room).rglob("*.py")) if ">>>" in path.read_text()
]


@pytest.mark.parametrize("file", FILES, ids=[str(path.relative_to(ROOT)) for path in FILES])
def test_examples_in_docstrings_hold(file: Path) -> None:
    module = import_module(".".join(file.relative_to(ROOT).with_suffix("").parts))
    ran = doctest.testmod(module)
    assert ran.attempted > 0, "an example that doctest does not find runs nowhere"
    assert ran.failed == 0
