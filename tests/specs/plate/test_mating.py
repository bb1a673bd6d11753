"""Whether two features meet: pure."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.plate.mating import (
    FITS,
    FITS_IF_RIGHT,
    MISSES,
    MISSES_IF_RIGHT,
    UNKNOWN,
    Feature,
    Size,
    match,
    roles_of,
)


def spline(major, minor, count=22, tolerance=0.05, **changes):
    within = tolerance / 1000
    sizes = {"major diameter": Size(major / 1000, within), "minor diameter": Size(minor / 1000, within)}
    return Feature("spline", count, sizes=sizes, **changes)


SHAFT = spline(25.35, 22.1)


@pytest.mark.parametrize(
    ("hub", "verdict"),
    [
        (spline(25.6, 22.4), FITS),
        (spline(25.4, 22.4), FITS_IF_RIGHT),
        (spline(25.3, 22.4), MISSES_IF_RIGHT),
        (spline(25.1, 22.4), MISSES),
        (spline(27.0, 22.4), MISSES),
        (spline(25.6, 22.4, count=23), MISSES),
        (spline(25.6, 22.4, count=None), UNKNOWN),  # nobody counted its teeth
        (spline(25.1, 22.4, count=None), MISSES),
        (Feature("spline", 22, sizes={"major diameter": Size(0.0256, 0.00005)}), UNKNOWN),
        (Feature("spline", 23), MISSES),
    ],
)
def test_a_hub_on_a_shaft(hub, verdict):
    assert match(SHAFT, hub).verdict == verdict


def test_a_near_miss_says_how_far_off_it_is():
    missed = match(SHAFT, spline(25.1, 22.4))
    assert missed.worst == pytest.approx(0.25e-3)
    assert missed.rank > match(SHAFT, spline(25.25, 22.4)).rank


def test_another_count_or_standard_is_said():
    hub = spline(25.6, 22.4, count=23, standard="ISO 4156")
    assert match(spline(25.35, 22.1, standard="DIN 5480"), hub).contradictions == (
        "23 teeth, not 22",
        "cut to ISO 4156, not DIN 5480",
    )


def pitched(module):
    return Feature("spline", 22, sizes={**spline(25.6, 22.4).sizes, "module": Size(module / 1000, 0.0)})


def test_splines_of_another_pitch_never_meet():
    # Module 1.0583 mm is a diametral pitch of 24 an inch: 25.4 / 24.
    shaft = Feature("spline", 22, sizes={**SHAFT.sizes, "module": Size(1.0583e-3, 0.0)})
    assert match(shaft, pitched(25.4 / 24)).verdict == FITS
    assert match(shaft, pitched(1.0)).contradictions == ("module 1 mm, not 1.0583 mm",)
    assert match(shaft, spline(25.6, 22.4)).verdict == FITS  # not said on both: the diameters decide
    assert "module" in roles_of("spline")
    fine = Feature("spline", 22, sizes={**SHAFT.sizes, "module": Size(0.8e-3, 0.0)})
    assert match(fine, pitched(25.4 / 32)).verdict == MISSES


def test_a_bolt_circle_that_nobody_counted_cannot_be_told():
    sizes = {"pitch circle": Size(0.1, 0.0), "hole diameter": Size(0.01, 0.0)}
    found = match(Feature("bolt circle", None, sizes=sizes), Feature("bolt circle", 4, sizes=sizes))
    assert (found.verdict, found.missing) == (UNKNOWN, ("count of bolts",))


def test_a_pilot_needs_some_play_and_not_too_much():
    nose = Feature("pilot", sizes={"diameter": Size(14.985e-3, 0.005e-3)})
    assert match(nose, Feature("pilot", sizes={"diameter": Size(15.02e-3, 0.005e-3)})).verdict == FITS
    assert match(nose, Feature("pilot", sizes={"diameter": Size(14.97e-3, 0.005e-3)})).verdict == MISSES
    assert match(nose, Feature("pilot", sizes={"diameter": Size(15.2e-3, 0.005e-3)})).verdict == MISSES


def test_bolt_circles_meet_on_the_same_circle():
    def flange(pitch, count=4):
        sizes = {"pitch circle": Size(pitch / 1000, 0.05e-3), "hole diameter": Size(0.0105, 0.05e-3)}
        return Feature("bolt circle", count, sizes=sizes)

    assert match(flange(96), flange(96.1)).verdict == FITS
    assert match(flange(96), flange(98)).verdict == MISSES
    assert match(flange(96), flange(96, count=6)).contradictions == ("6 bolts, not 4",)


def test_faces_are_compared_by_their_holes():
    assert roles_of("face pattern") == ()
    assert "hole by hole" in match(Feature("face pattern"), Feature("face pattern")).contradictions[0]


@given(st.floats(10, 100), st.floats(0.001, 1), st.floats(0, 0.5))
def test_a_wider_band_never_makes_a_fit_surer(major, tolerance, play):
    def verdict(t):
        return match(spline(major, major - 3, tolerance=t), spline(major + play, major - 3 + play, tolerance=t)).verdict

    assert not (verdict(tolerance * 2) == FITS and verdict(tolerance) != FITS)
