"""One class a name: whoever reads a name in one file knows which class is meant in every other."""

import ast
from collections import defaultdict
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
# Every calculation declares these two, and every command is one of the third: the file says whose.
BY_FILE = {"Inputs", "Outputs", "Command"}


def test_no_two_files_define_a_class_of_one_name() -> None:
    files = defaultdict(list)
    for file in [*ROOT.glob("shop/**/*.py"), *ROOT.glob("specs/**/*.py")]:
        if file.parent.name == "migrations":
            continue
        for node in ast.parse(file.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef):
                files[node.name].append(str(file.relative_to(ROOT)))
    assert {name: where for name, where in files.items() if len(where) > 1 and name not in BY_FILE} == {}
