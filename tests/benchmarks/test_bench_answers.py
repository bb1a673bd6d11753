"""The benchmark itself works: how fast it runs is read, never asserted."""

from __future__ import annotations

import io
import json

from specs.engine.calculation import calculations
from specs.engine.response import answer_lines
from tests.benchmarks import bench_answers


def test_the_mixed_requests_cover_every_calculation_and_some_are_refused() -> None:
    requests = [json.loads(line) for line in bench_answers.mixed_requests()]
    assert {request["calculation"] for request in requests} == set(calculations())

    out = io.StringIO()
    answer_lines(bench_answers.mixed_requests(), out)
    given = [json.loads(line) for line in out.getvalue().splitlines()]
    assert len(given) == len(requests)
    refused = sum("errors" in answer for answer in given)
    assert refused == len(requests) - len(calculations())


def test_every_calculation_is_timed_in_its_parts() -> None:
    timed = list(bench_answers.by_part(repeats=1))
    assert [name for name, *_ in timed] == list(calculations())
    assert all(seconds >= 0 for _, *parts in timed for seconds in parts)
