"""A copy made while people write comes back equal; fifty are made by `python -m tests.copies_under_load 50`."""

from tests.copies_under_load import main


def test_copies_under_load_are_equal() -> None:
    equal, answers, faults = main(3)
    assert faults == []
    assert equal == 3
    assert answers > 0
