"""The pinned versions are whole, allowed by pyproject.toml, and used wherever something is installed."""

import re
import tomllib
from importlib.metadata import version
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parent.parent
LINES = [line for line in (ROOT / ".ci" / "constraints.txt").read_text().splitlines() if not line.startswith("#")]
PINS = {canonicalize_name(name): pinned for name, _, pinned in (line.partition("==") for line in LINES)}
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
EXTRAS = PROJECT["optional-dependencies"]
WANTED = [Requirement(text) for group in (PROJECT["dependencies"], *EXTRAS.values()) for text in group]


@pytest.mark.parametrize("wanted", WANTED, ids=str)
def test_each_library_is_pinned_to_a_version_that_is_allowed(wanted: Requirement) -> None:
    assert PINS[canonicalize_name(wanted.name)] in wanted.specifier


@pytest.mark.parametrize("wanted", WANTED, ids=str)
def test_each_library_has_an_upper_bound_where_a_major_version_may_break(wanted: Requirement) -> None:
    assert any(each.operator in ("<", "<=", "==", "~=") for each in wanted.specifier)


def test_every_line_is_a_name_and_a_version() -> None:
    assert all(re.fullmatch(r"\d[\w.+!]*", pinned) for pinned in PINS.values())
    assert len(PINS) > len({wanted.name for wanted in WANTED})


@pytest.mark.parametrize("file", ["README.md", "DEVELOPERS.md", ".ci/run"])
def test_nothing_is_installed_without_them(file: str) -> None:
    said = re.findall(r"pip\"? install[^\n]*", (ROOT / file).read_text())
    assert said
    assert [line for line in said if "-c .ci/constraints.txt" not in line] == []


def test_the_gunicorn_whose_worker_is_ours_to_extend_is_the_one_at_hand() -> None:
    assert version("gunicorn").split(".")[0] == PINS["gunicorn"].split(".")[0]
