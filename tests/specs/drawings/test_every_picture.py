"""What every calculation's picture must obey, found by folder: a new one is covered by being there."""

import random
from typing import Any
from xml.etree import ElementTree

import pytest

from specs.drawings import svg
from specs.drawings.primitives import Text
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from specs.engine.working import written

DRAWN = {name: found for name, found in calculations().items() if found.drawing}
EVERY = pytest.mark.parametrize("name", DRAWN)


def unlikely(value: Any, chance: random.Random) -> Any:
    """The same request with numbers that nobody would type on purpose: far too large, far too small, nought."""
    if isinstance(value, list):
        return [unlikely(entry, chance) for entry in value]
    if isinstance(value, dict):
        return {key: entry if key == "sign" else unlikely(entry, chance) for key, entry in value.items()}
    if not isinstance(value, int | float):
        return value
    return chance.choice([value, value, value, value * 10 ** chance.uniform(-1, 1), value * 1e6, value * 1e-6, 0])


@EVERY
def test_it_is_named_described_and_keeps_its_words_on_the_sheet(name: str) -> None:
    answer = solve(DRAWN[name], DRAWN[name].example)
    picture = DRAWN[name].drawing(answer.given, answer.found)

    assert picture.title
    assert len(picture.description) > len(picture.title)
    for text in (shape for shape in picture.shapes if isinstance(shape, Text)):
        (left, right), (low, high) = ((min(side), max(side)) for side in zip(*text.reach, strict=True))
        assert picture.bounds.left <= left + 1, text.words
        assert right <= picture.bounds.right + 1, text.words
        assert picture.bounds.bottom <= low + 1, text.words
        assert high <= picture.bounds.top + 1, text.words


@EVERY
def test_it_is_written_without_styles_of_its_own(name: str) -> None:
    answer = solve(DRAWN[name], DRAWN[name].example)
    root = ElementTree.fromstring(svg.write(DRAWN[name].drawing(answer.given, answer.found), name))

    assert all("style" not in element.attrib for element in root.iter())


@EVERY
def test_numbers_that_nobody_would_type_are_drawn_and_worked_out_or_refused(name: str) -> None:
    chance = random.Random(name)
    for _ in range(40):
        try:
            answer = solve(DRAWN[name], unlikely(dict(DRAWN[name].example), chance))
        except BadInput:
            continue
        assert svg.write(DRAWN[name].drawing(answer.given, answer.found), name)
        assert written(DRAWN[name], answer.given, answer.found)
