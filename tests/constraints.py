"""python -m tests.constraints: write .ci/constraints.txt, what everybody installs alike.

The newest versions that pyproject.toml allows are installed into an empty environment; their names and versions are
what is written. Then each of the supported Pythons is asked whether it would take exactly these.
"""

import subprocess
import sys
import tempfile
import tomllib
import venv
from pathlib import Path

ROOT = Path(__file__).parent.parent
FILE = ROOT / ".ci" / "constraints.txt"
PYTHONS = ("3.11", "3.12", "3.13")
EXTRAS = "dev,postgres,offsite"
HEAD = "# Made by `python -m tests.constraints`; used by README.md's commands and by .ci/run. Python 3.11 to 3.13.\n"


def write() -> None:
    """Install the newest, and write down what that was."""
    with tempfile.TemporaryDirectory() as folder:
        venv.create(folder, with_pip=True)
        pip = f"{folder}/bin/pip"
        subprocess.run([pip, "install", "-q", "-e", f"{ROOT}[{EXTRAS}]"], check=True)
        frozen = subprocess.run([pip, "freeze", "--exclude-editable"], check=True, capture_output=True, text=True)
    pins = [line for line in frozen.stdout.splitlines() if "==" in line]
    FILE.write_text(HEAD + "\n".join(sorted(pins, key=str.lower)) + "\n")


def check(python: str) -> None:
    """Whether this Python would take them, wheels only; raises where not."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    extras = project["optional-dependencies"]
    wanted = [*project["dependencies"], *(each for name in EXTRAS.split(",") for each in extras[name])]
    only = ["--dry-run", "-q", "--ignore-installed", "--only-binary=:all:", "--python-version", python]
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "pip", "install", *only, "--target", folder, "-c", str(FILE), *wanted]
        subprocess.run(command, check=True)


if __name__ == "__main__":
    if "--check" not in sys.argv:
        write()
    for each in PYTHONS:
        check(each)
        print(f"{each}: takes them")
