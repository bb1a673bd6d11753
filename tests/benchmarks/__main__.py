"""What is measured of the program's speed, beside what was measured before: `python -m tests.benchmarks [keep]`.

`python -m tests.benchmarks all` runs everything in turn and ends with one table of the pages (`everything.py`),
`python -m tests.benchmarks pages` measures the site's pages alone, on a database of its own (`pages.py`),
`python -m tests.benchmarks crowd` how many are answered a second, twenty at once (`crowd.py`),
`python -m tests.benchmarks forecast` how long after a write the pages show the new forecast (`forecast.py`),
`python -m tests.benchmarks memory` what its processes hold (`memory.py`),
`python -m tests.benchmarks search` a search among 100,000 records (`search.py`), and
`python -m tests.benchmarks paper` the printing of a job card (`paper.py`).

Every `bench_*.py` of this folder gives its `figures()`, processor seconds by name. Each is also told in yardsticks, the
time of a fixed loop in the same run, so that runs on a busy and an idle machine can be compared. `keep` writes the run
to `figures.json`, which is kept beside the code, next to the run before.
"""

import json
import math
import os
import sys
import time
from datetime import date
from importlib import import_module
from pathlib import Path
from typing import Any

import django

from tests.benchmarks import crowd, everything, forecast, memory, pages, paper, search

FOLDER = Path(__file__).parent
KEPT = FOLDER / "figures.json"
SUBJECTS = sorted(path.stem for path in FOLDER.glob("bench_*.py"))
_RUNS_KEPT = 2


def yardstick() -> float:
    """Processor seconds of a fixed loop, the fastest of five."""
    taken = []
    for _ in range(5):
        start = time.process_time()
        math.fsum(math.hypot(at, 1.0) for at in range(200_000))
        taken.append(time.process_time() - start)
    return min(taken)


def measured(subjects: list[str]) -> dict[str, Any]:
    """Measure the subjects: the day, the yardstick [s] and every figure [s]."""
    figures: dict[str, float] = {}
    for name in subjects:
        figures |= import_module(f"tests.benchmarks.{name}").figures()
    return {"day": date.today().isoformat(), "yardstick": yardstick(), "figures": figures}


def compared(now: dict[str, Any], before: dict[str, Any] | None) -> list[str]:
    """Write a line a figure: before, now, and how many times as long it takes now, counted in yardsticks."""
    lines = [f"{'':40}{before['day'] if before else '':>12}{now['day']:>12}{'×':>8}"]
    for name, seconds in now["figures"].items():
        then = before["figures"].get(name) if before else None
        times = seconds / now["yardstick"] / (then / before["yardstick"]) if then and before else None
        told = f"{then * 1000:12.1f}" if then else f"{'':12}"
        lines.append(f"{name:40}{told}{seconds * 1000:12.1f}{f'{times:8.2f}' if times else ''}")
    return [*lines, "in ms of processor time"]


def main(words: list[str]) -> None:
    """Measure, print the comparison, and keep the run where that is asked."""
    if "all" in words:
        sys.exit(everything.run([word for word in words if word != "all"]))
    if "crowd" in words:
        sys.exit(crowd.run([word for word in words if word != "crowd"]))
    if "forecast" in words:
        sys.exit(forecast.run([word for word in words if word != "forecast"]))
    if "memory" in words:
        sys.exit(memory.run([word for word in words if word != "memory"]))
    if "search" in words:
        search.run([word for word in words if word != "search"])
    if "pages" in words:
        pages.run([word for word in words if word != "pages"])
    if "paper" in words:
        paper.run([word for word in words if word != "paper"])
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    os.environ.setdefault("SHOP_LOCAL", "1")  # No secret of a shop's is asked for where nothing is served.
    django.setup()
    kept = json.loads(KEPT.read_text()) if KEPT.exists() else []
    now = measured(SUBJECTS)
    print("\n".join(compared(now, kept[-1] if kept else None)))
    if "keep" in words:
        KEPT.write_text(json.dumps([*kept, now][-_RUNS_KEPT:], indent=1) + "\n")


if __name__ == "__main__":
    main(sys.argv[1:])
