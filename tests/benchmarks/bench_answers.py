"""How fast requests are answered: 10,000 mixed ones through the command, and what each part of an answer costs.

    python -m tests.benchmarks.bench_answers [count]

Times are processor seconds of one core, so that a busy machine does not change them much. Nothing here fails: a
benchmark informs, and a test that depends on time lies.
"""

from __future__ import annotations

import io
import itertools
import json
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from specs.engine import answer, entry
from specs.engine.calculation import calculations
from specs.engine.fields import fields_of
from specs.engine.response import answer_lines

ROOT = Path(__file__).parents[2]
_REPEATS = 200


def mixed_requests() -> list[str]:
    """One line for each calculation's example, and for every fifth one a line that is refused."""
    lines: list[str] = []
    for at, (name, calculation) in enumerate(calculations().items()):
        inputs = dict(calculation.example)
        lines.append(json.dumps({"calculation": name, "inputs": inputs}))
        if at % 5 == 0:
            lines.append(json.dumps({"calculation": name, "inputs": {**inputs, next(iter(inputs)): "5 furlongs"}}))
    return lines


def various_requests() -> Iterator[str]:
    """The same again and again, no two alike: each round its plain numbers are larger by a millionth."""
    for turn in itertools.count():
        for line in mixed_requests():
            request = json.loads(line)
            declared = fields_of(calculations()[request["calculation"]].inputs)
            for name, value in request["inputs"].items():
                if declared[name].form == "quantity" and isinstance(value, (int, float)):
                    request["inputs"][name] = value * (1 + turn * 1e-6)
            yield json.dumps(request)


def _seconds(work: Callable[[], object], repeats: int = 1) -> float:
    start = time.process_time()
    for _ in range(repeats):
        work()
    return (time.process_time() - start) / repeats


def whole_command(count: int) -> tuple[float, float]:
    """Processor seconds of `manage.py calculate --lines -` for no line and for `count` lines, start included."""
    lines = list(itertools.islice(various_requests(), count))
    return _command_seconds(""), _command_seconds("\n".join(lines))


def _command_seconds(text: str) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [sys.executable, "manage.py", "calculate", "--lines", "-"]
    subprocess.run(command, input=text, text=True, cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def by_part(repeats: int = _REPEATS) -> Iterator[tuple[str, float, float, float]]:
    """For each calculation: seconds to read the request, to solve it, and to answer the whole line."""
    for name, calculation in calculations().items():
        request = calculation.example
        given = entry.read(calculation, request)
        line = json.dumps({"calculation": name, "inputs": dict(request)})
        answer_lines([line], io.StringIO())  # what is imported at first use is not timed
        yield (
            name,
            _seconds(lambda: entry.read(calculation, request), repeats),  # noqa: B023
            _seconds(lambda: answer.solve_given(calculation, given), repeats),  # noqa: B023
            _seconds(lambda: answer_lines([line], io.StringIO()), repeats),  # noqa: B023
        )


def figures() -> dict[str, float]:
    """Seconds of the command's start, and of 10,000 mixed requests with it."""
    start, whole = whole_command(10_000)
    return {"start of the calculate command": start, "10,000 requests, start included": whole}


def main(count: int = 10_000) -> None:
    """Print requests per second, and ratios to the quickest calculation."""
    start, whole = whole_command(count)
    print(f"{count} mixed requests: {whole:.2f} s of one core, start included ({start:.2f} s)")
    print(f"{count / (whole - start):.0f} requests a second once started; the start is worth {start / whole:.0%} of it")
    parts = list(by_part())
    quickest = min(line for *_, line in parts)
    print(f"\n{'calculation':24}{'× quickest':>11}{'reading':>9}{'solving':>9}{'the rest':>9}")
    for name, reading, solving, line in sorted(parts, key=lambda part: -part[-1]):
        rest = max(line - reading - solving, 0.0)
        print(f"{name:24}{line / quickest:11.1f}{reading / line:9.0%}{solving / line:9.0%}{rest / line:9.0%}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
