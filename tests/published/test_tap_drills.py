"""Tap drills against a printed workshop table of another origin.

Source: a public drill table for metric coarse and fine, UNC and UNF threads (after DIN 336 and ISO 2306), read; drill
diameters in mm. Where the two differ by a drill step, both make a thread within its limits.
"""

import pytest

from specs.standards import threads

METRIC = """
M3 2.5, M3.5 2.9, M4 3.3, M4x0.5 3.5, M5 4.2, M5x0.5 4.5, M6 5, M7 6, M8 6.8, M8x1 7, M8x0.75 7.2, M9 7.8, M9x1 8,
M10 8.5, M10x1.25 8.8, M10x1 9, M11 9.5, M11x1 10, M12 10.2, M12x1.5 10.5, M12x1.25 10.8, M12x1 11, M14 12,
M14x1.5 12.5, M14x1.25 12.8, M14x1 13, M16 14, M16x1.5 14.5, M16x1 15, M18 15.5, M18x2 16, M18x1.5 16.5, M18x1 17,
M20 17.5, M20x2 18, M20x1.5 18.5, M22 19.5, M22x2 20, M22x1.5 20.5, M24 21, M24x2 22, M24x1.5 22.5, M27 24, M27x2 25,
M27x1.5 25.5, M30 26.5, M30x3 27, M30x2 28, M30x1.5 28.5, M33 29.5, M33x3 30, M33x2 31, M33x1.5 31.5, M36 32
"""
UNIFIED = """
1/4-20 UNC 5.1, 3/8-16 UNC 8, 7/16-14 UNC 9.4, 1/2-13 UNC 10.8, 9/16-12 UNC 12.2, 3/4-10 UNC 16.5, 7/8-9 UNC 19.5,
1 1/8-7 UNC 25, 1 3/8-6 UNC 30.75, 1 1/2-6 UNC 34, 1/4-28 UNF 5.5, 5/16-24 UNF 6.9, 3/8-24 UNF 8.5, 7/16-20 UNF 9.9,
1/2-20 UNF 11.5, 9/16-18 UNF 12.9, 5/8-18 UNF 14.5, 3/4-16 UNF 17.5, 1-12 UNF 23.25, 1 1/8-12 UNF 26.5,
1 1/2-12 UNF 36
"""
A_DRILL_STEP_APART = """
5/16-18 UNC 6.5, 5/8-11 UNC 13.6, 1 1/4-7 UNC 28.25, 7/8-14 UNF 20.5, 1 1/4-12 UNF 29.75, 1 3/8-12 UNF 33
"""


def rows(printed: str) -> list[tuple[str, float]]:
    entries = (entry.strip().rsplit(" ", 1) for entry in printed.replace("\n", " ").split(","))
    return [(designation, float(drill)) for designation, drill in entries]


@pytest.mark.parametrize(("designation", "drill"), rows(METRIC) + rows(UNIFIED))
def test_the_drill_is_the_one_in_the_workshop_table(designation: str, drill: float) -> None:
    assert threads.find(designation).tap_drill * 1000 == pytest.approx(drill, abs=1e-9)


@pytest.mark.parametrize(("designation", "drill"), rows(A_DRILL_STEP_APART))
def test_the_drill_is_within_a_step_of_the_workshop_table(designation: str, drill: float) -> None:
    assert threads.find(designation).tap_drill * 1000 == pytest.approx(drill, abs=0.26)
