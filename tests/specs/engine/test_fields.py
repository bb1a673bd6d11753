"""Paths to the numbers of Inputs."""

from __future__ import annotations

import pytest

from specs.engine.entry import read
from specs.engine.fields import paths, shifted, value_at
from tests.specs.sample import SAMPLE

GIVEN = read(SAMPLE, {"force": 1000, "side": 100, "plates": [{"name": n, "thickness": 6} for n in "AB"]})


def test_every_number_of_a_request_has_a_path_and_can_be_moved_by_it() -> None:
    found = list(paths(GIVEN))
    assert {"force", "side", "plates.0.thickness", "plates.1.share", "gaps.1"} <= set(found)
    for path in found:
        assert value_at(shifted(GIVEN, path, 0.25), path) == pytest.approx(value_at(GIVEN, path) + 0.25)


@pytest.mark.parametrize("path", ["nowhere", "plates.9.thickness", "plates.x", "plates.0.nowhere", "mark"])
def test_a_path_that_is_not_there_is_an_error_to_move_and_nothing_to_read(path: str) -> None:
    with pytest.raises(KeyError):
        shifted(GIVEN, path, 1.0)
    assert value_at(GIVEN, path) in (None, "-")
