"""What a worksheet costs with its bands: every calculation's example, its numbers ± half a per cent.

python -m tests.benchmarks.bench_bands
"""

from __future__ import annotations

import time
from typing import Any

from specs.engine.bands import with_bands
from specs.engine.calculation import Calculation, calculations
from specs.engine.entry import read
from specs.engine.fields import Tolerance, paths, value_at

_SHARE = 0.005


def seconds_of(calculation: Calculation[Any, Any]) -> float:
    """Processor seconds of one answer with bands that nobody asked for before, the faster of two."""
    given = read(calculation, calculation.example)
    values = {path: value for path in paths(given) if (value := value_at(given, path))}
    taken = []
    for turn in range(3):  # what is imported at first use is not timed
        tolerances = {path: Tolerance(abs(value) * (_SHARE + turn * 1e-6)) for path, value in values.items()}
        start = time.process_time()
        with_bands(calculation, given, tolerances)
        taken.append(time.process_time() - start)
    return min(taken[1:])


def figures() -> dict[str, float]:
    """Seconds of each calculation's bands, and their mean."""
    each = {f"bands of {name}": seconds_of(calculation) for name, calculation in calculations().items()}
    return {"bands, mean of all calculations": sum(each.values()) / len(each), **each}


if __name__ == "__main__":
    for name, seconds in figures().items():
        print(f"{name:40}{seconds * 1000:8.1f} ms")
