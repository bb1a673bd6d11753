"""A value is as specified within the tool's own error.

Limits: ISO 6789-1:2017, maximum permissible deviation of setting torque tools, 4 % above 10 N·m and 6 % up to it
(from memory).
"""

import pytest

from shop.jobs.tightening import is_off, off_in_words


@pytest.mark.parametrize(
    ("value", "specified", "off"),
    [
        (85.0, 85.0, False),
        (88.4, 85.0, False),  # 4 % above
        (88.5, 85.0, True),
        (81.6, 85.0, False),
        (81.5, 85.0, True),
        (10.6, 10.0, False),  # 6 % up to 10 N·m
        (10.7, 10.0, True),
        (10.61, 10.1, True),  # already 4 % just above
    ],
)
def test_off_starts_where_the_tool_ends(value, specified, off):
    assert is_off(value, specified) is off


def test_off_is_said_in_words():
    assert off_in_words(95.2, 85.0) == "12 % more than specified"
    assert off_in_words(42.5, 85.0) == "50 % less than specified"
    assert off_in_words(85.0, 85.0) == ""
