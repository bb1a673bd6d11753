"""The map in DEVELOPERS.md names the folders that are there, and the settings in README.md are those that are read."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PLACES = ("shop", "specs")
TOPS = {"shop", "specs", "templates", "tests", ".ci"}
NO_ROOM = {"__pycache__", "migrations"}


def named_in_the_map() -> set[str]:
    rows = re.findall(r"^\| `([\w/]+)/` \|", (ROOT / "DEVELOPERS.md").read_text(), re.MULTILINE)
    return set(rows)


def test_the_map_names_every_folder_and_no_other() -> None:
    inner = {f"{place}/{folder.name}" for place in PLACES for folder in (ROOT / place).iterdir() if folder.is_dir()}
    there = {path for path in inner if Path(path).name not in NO_ROOM} | {"templates", "tests"}
    assert named_in_the_map() == there


def test_the_top_of_the_tree_is_what_was_agreed() -> None:
    top = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    made_by_tools = {name for name in top if name.endswith(".egg-info") or name in ("build", "mutants")}
    agreed = {"README.md", "DEVELOPERS.md", "manage.py", "pyproject.toml", "shop", "specs", "templates", "tests"}
    assert top - made_by_tools == agreed


def test_readme_lists_every_setting_that_is_read() -> None:
    sources = [path for path in (ROOT / "shop").rglob("*.py") if "migrations" not in path.parts]
    read = {name for source in sources for name in re.findall(r'"(SHOP_[A-Z_]+|DATABASE_URL)"', source.read_text())}
    listed = set(re.findall(r"^\| `(SHOP_[A-Z_]+|DATABASE_URL)` \|", (ROOT / "README.md").read_text(), re.MULTILINE))
    assert listed == read | {"DATABASE_URL"}


def paths_in(page: str) -> set[str]:
    """Every path of the tree that a page names, one with <placeholders> left out."""
    said = re.findall(r"`([\w.-]+(?:/[\w.-]+)+/?)`", (ROOT / page).read_text(encoding="utf-8"))
    return {path for path in said if path.split("/")[0] in TOPS}


@pytest.mark.parametrize("page", ["DEVELOPERS.md", "README.md"])
def test_every_path_that_is_named_is_there(page: str) -> None:
    """The answers to "where is …?" must not outlive the files that they name."""
    assert [path for path in sorted(paths_in(page)) if not (ROOT / path).exists()] == []


def test_the_map_answers_where_things_are() -> None:
    assert len(paths_in("DEVELOPERS.md")) >= 40


def test_every_command_is_told_of() -> None:
    told = (ROOT / "README.md").read_text(encoding="utf-8") + (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    commands = {file.stem for file in (ROOT / "shop/management/commands").glob("[a-z]*.py")}
    # As it is typed, not as a word of a sentence such as "the site is served".
    as_typed = re.compile(r"(?:`manage\.py |manage\.py |`)([a-z_]+)\b")
    assert commands - set(as_typed.findall(told)) == set()
