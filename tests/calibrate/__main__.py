"""Hold stated chances against drawn truths: `python -m tests.calibrate SUBJECT [DRAWS [SEED]]`.

A subject is a module of this folder with `report(draws, seed)`, which returns the lines to print.
"""

import os
import sys
from importlib import import_module
from pathlib import Path

SUBJECTS = sorted(path.stem for path in Path(__file__).parent.glob("[a-z]*.py"))


def main(words: list[str]) -> int:
    if not words or words[0] not in SUBJECTS:
        print(f"say one of: {', '.join(SUBJECTS)}", file=sys.stderr)
        return 2
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    subject = import_module(f"tests.calibrate.{words[0]}")
    for line in subject.report(*map(int, words[1:3])):
        print(line, flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
