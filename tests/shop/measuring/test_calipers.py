"""A pattern out of caliper readings."""

from __future__ import annotations

import pytest

from shop.measuring.caliper_table import (
    CannotPlace,
    hole_rows,
    place,
    read_known,
    read_readings,
    reading_rows,
)
from shop.measuring.forms.holes import length_in
from specs.geometry.spacings import Frame
from tests.shop.measuring.exact_pattern import HOLES, PLACES, all_readings

MM = length_in("mm")


def placed(readings, holes=HOLES):
    known = read_known(hole_rows(holes), MM, "clearance")
    return place(known, read_readings(reading_rows(readings), MM, known), 0.05, Frame("D1", "D2", "B1"))


def test_exact_readings_give_the_pattern_back():
    found = {hole["name"]: (hole["x"], hole["y"]) for hole in placed(all_readings()).as_holes}
    for name, place_ in PLACES.items():
        assert found[name] == pytest.approx(place_, abs=2e-3)


def test_the_reading_that_does_not_fit_is_named():
    (suspect,) = placed(all_readings(D2_B2=1.0)).suspects
    assert (suspect.first, suspect.second) == ("D2", "B2")


@pytest.mark.parametrize(
    "row",
    ["B1 11 tapped M10", "B1\t11\ttapped\t270\t110\tM10", "B1;11;M10;tapped;270;110", "B1;11;tapped;;;M10x1.5"],
)
def test_a_hole_says_its_thread_wherever_it_stands_in_the_row(row):
    hole = read_known(hole_rows(row), MM, "clearance")["B1"]
    assert (hole.kind, hole.thread.partition("x")[0]) == ("tapped", "M10")


def test_columns_of_a_sheet_are_found_by_their_headings():
    """A hole may be named as a thread is, and a cell in between be empty."""
    rows = hole_rows("hole\tx\ty\tdia\tkind\tthread\nM10\t0\t1\t11\tpin\t\nB2\t5\t6\t8.5\ttapped\tM10x1.5")
    assert rows[0] == {"name": "M10", "x": "0", "y": "1", "diameter": "11", "kind": "dowel", "thread": ""}
    assert read_known(rows, MM, "clearance")["B2"].thread.startswith("M10")


def test_a_thread_that_is_none_is_named_as_such():
    with pytest.raises(CannotPlace, match="M1OO"):
        read_known([{"name": "B1", "diameter": "11", "thread": "M1OO"}], MM, "clearance")


def test_threads_come_into_the_pattern():
    holes = HOLES.replace("B1\t11.0\ttapped", "B1\t11.0\ttapped\tM10")
    assert {hole["name"]: hole["thread"] for hole in placed(all_readings(), holes).as_holes}["B1"] == "M10"


def test_every_hole_has_its_uncertainty():
    holes = placed(all_readings()).as_holes
    assert holes[0]["uncertainty"] == 0  # the origin, by definition
    assert all(0 < hole["uncertainty"] < 0.2 for hole in holes[1:])


@pytest.mark.parametrize(
    ("holes", "words"),
    [
        ("D1\t", "name and its diameter"),
        ("D1", "name and its diameter"),
        ("D1\twide", "not a number"),
        ("D1\t0", "more than 0"),
        ("D1\t12\nD1\t12", "stands here twice"),
        ("D1\t12\tslot", "Accepted: clearance"),
        ("D1\t12\tdowel\t5", "both the rough x and the rough y"),
    ],
)
def test_a_hole_that_is_none_is_named(holes, words):
    with pytest.raises(CannotPlace, match=words):
        read_known(hole_rows(holes), MM, "clearance")


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        ("D1\tB9\t300", "B9” is not among the holes"),
        ("D1\tD2\t", "reading is missing"),
        ("D1\tD2\t1,250", "two ways"),
        ("D1\tD2\t300\taskew", "accepted are over, between and centres"),
        ("D1\tD2\t5\tover", "too short for these diameters"),
        ("D1\tD2\t312\tover", "B1"),
        ("D1\tD2\t312\tover\nD1\tB1\t300\tover", "Not tied down"),
        ("\n".join(["D1\tD2\t312"] * 601), "at most 600"),
    ],
)
def test_readings_that_give_no_pattern_are_named(readings, words):
    with pytest.raises(CannotPlace, match=words):
        placed(readings)


def test_a_name_that_a_hole_cannot_keep_whole_is_refused():
    with pytest.raises(CannotPlace, match="This has 41 letters"):
        read_known(hole_rows(f"{'D' * 41}\t12\tdowel"), MM, "clearance")
