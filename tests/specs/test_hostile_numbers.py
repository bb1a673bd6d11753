"""Numbers that nobody would type: every calculation answers in finite numbers or refuses in words, and can be shown."""

from __future__ import annotations

import itertools
import json
import os
import random
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import pytest

from specs.drawings import svg
from specs.engine.bands import with_bands
from specs.engine.calculation import calculations, find
from specs.engine.entry import solve
from specs.engine.fields import Field, fields_of, paths
from specs.engine.response import respond
from specs.engine.working import written

HOSTILE = (0, -0.0, 5e-324, 1e-300, -1e-300, 1e-154, 1e-9, -1, 1, 90, 180, 360, -90, 1e9, 1e15, 1e154, 1e300, -1e300)
# Of each calculation; at the gate a third of them.
AT_THE_GATE = os.environ.get("CI") == "true"
DRAWS = 12 if AT_THE_GATE else 60


def spoiled(value: Any, chance: random.Random, share: float) -> Any:
    """The same request with some numbers hostile, lists cut short, grown long or made of equal rows."""
    if isinstance(value, dict):
        return {name: spoiled(entry, chance, share) for name, entry in value.items()}
    if isinstance(value, list):
        return spoiled_rows([spoiled(entry, chance, share) for entry in value], chance)
    if isinstance(value, int | float) and chance.random() < share:
        return chance.choice([chance.choice(HOSTILE), value * 10 ** chance.uniform(-300, 290), -value])
    return value


def spoiled_rows(rows: list[Any], chance: random.Random) -> list[Any]:
    how = chance.choice(["as it is"] * 6 + ["one", "none", "many", "equal"])
    if how in ("one", "none"):
        return rows[: how == "one"]
    if how == "as it is" or not rows or not isinstance(rows[0], dict):
        return rows
    if how == "equal":
        return [{**rows[0], **{k: v for k, v in row.items() if k == "name"}} for row in rows]
    return [{**rows[at % len(rows)], **({"name": f"n{at}"} if "name" in rows[0] else {})} for at in range(60)]


@pytest.mark.parametrize("name", calculations())
def test_it_answers_in_finite_numbers_or_says_what_is_wrong(name: str) -> None:
    calculation, chance = find(name), random.Random(name)
    for draw in range(DRAWS):
        request = spoiled(dict(calculation.example), chance, 0.1 if draw % 2 else 0.6)
        answer = respond(name, request)
        json.dumps(answer, allow_nan=False)
        if "errors" in answer:
            assert answer["errors"]
            assert all(words for words in answer["errors"].values())
            continue
        solved = solve(calculation, request)
        assert written(calculation, solved.given, solved.found)
        if draw % 10 < 2:
            with_bands(calculation, solved.given, dict.fromkeys(list(paths(solved.given))[:6], 1e-4))
        drawn = calculation.drawing(solved.given, solved.found) if calculation.drawing else None
        assert drawn is None or not {"nan", "inf"} & {word.strip('"') for word in svg.write(drawn, name).split()}


ODD = ("x" * 100_000, "9" * 10_000, "1e999", "nan", "-inf", "²", "\x00", "", [], [[]], {}, [None], True, float("nan"))


@pytest.mark.parametrize("name", calculations())
def test_anything_in_place_of_an_input_is_answered_or_refused_in_few_words(name: str) -> None:
    calculation = find(name)
    odd = random.Random(name).sample(ODD, 3) if AT_THE_GATE else ODD
    for changed in _each_place(dict(calculation.example), fields_of(calculation.inputs), odd):
        answer = respond(name, changed)
        json.dumps(answer, allow_nan=False)
        assert all(0 < len(words) < 500 for words in answer.get("errors", {}).values())


def _each_place(
    request: dict[str, Any], fields: Mapping[str, Field], every_odd: Sequence[Any]
) -> Iterator[dict[str, Any]]:
    """The request with each odd value in each input, and in each column of the first row of a table."""
    for (name, field), odd in itertools.product(fields.items(), every_odd):
        yield {**request, name: odd}
        if isinstance(request.get(name), list) and field.row is None:
            yield {**request, name: [odd, *request[name][1:]]}
        elif field.row is not None and request.get(name):
            first, *rest = request[name]
            for column in fields_of(field.row):
                yield {**request, name: [{**first, column: odd}, *rest]}


@pytest.mark.parametrize(
    ("name", "changes"),
    [
        ("clutch-capacity", {"clamp_force": 5e-324}),
        ("joint-angles", {"shaft_speed": 1e-154}),
        ("speedometer", {"old_drive": 5e-324}),
        ("runout", {"readings": [{"angle": angle, "reading": 1e-300} for angle in (0, 90, 180, 270)]}),
    ],
)
def test_a_number_next_to_nought_leaves_no_number_without_end(name: str, changes: dict[str, float]) -> None:
    calculation = find(name)
    request = {**calculation.example, **changes}
    json.dumps(respond(name, request), allow_nan=False)
    solved = solve(calculation, request)
    assert calculation.drawing is not None
    assert calculation.drawing(solved.given, solved.found)
