from itertools import combinations
from math import cos, dist, sin

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from specs.geometry.spacings import Frame, Spacing, solve_spacings

# Eight bolts and two dowels of an invented bell housing, in metres.
FACE = {f"B{k}": (0.165 * cos(a), 0.165 * sin(a)) for k, a in enumerate([0.3, 0.9, 1.6, 2.2, 2.9, 3.9, 4.7, 5.5])}
FACE |= {"D1": (-0.14, -0.03), "D2": (0.15, -0.05)}
FRAME = Frame("D1", "D2", "B2")
SIGMA = 2e-5


def in_frame(face, frame=FRAME):
    (x0, y0), (x1, y1) = face[frame.origin], face[frame.along]
    c, s = (x1 - x0) / dist((x0, y0), (x1, y1)), (y1 - y0) / dist((x0, y0), (x1, y1))
    laid = {n: ((x - x0) * c + (y - y0) * s, (y - y0) * c - (x - x0) * s) for n, (x, y) in face.items()}
    side = 1 if laid[frame.above][1] > 0 else -1
    return {n: (x, side * y) for n, (x, y) in laid.items()}


def measured(face, pairs=None, noise=None, sigma=SIGMA):
    pairs = list(pairs or combinations(face, 2))
    noise = np.zeros(len(pairs)) if noise is None else noise
    return [Spacing(a, b, dist(face[a], face[b]) + e, sigma) for (a, b), e in zip(pairs, noise, strict=True)]


def test_exact_distances_give_exact_places():
    found = solve_spacings(measured(FACE), FRAME)

    for name, place in in_frame(FACE).items():
        assert found.places[name] == pytest.approx(place, abs=1e-10)
    assert found.places["D1"] == (0, 0)
    assert found.places["D2"][1] == 0
    assert found.suspect is None


@given(st.lists(st.tuples(st.floats(-0.2, 0.2), st.floats(-0.2, 0.2)), min_size=4, max_size=8), st.integers(0, 999))
def test_any_pattern_comes_back_from_its_distances(points, seed):
    face = {f"H{k}": point for k, point in enumerate(points)}
    assume(min(dist(a, b) for a, b in combinations(points, 2)) > 0.01)
    frame = Frame("H0", "H1", "H2")
    true = in_frame(face, frame)
    assume(abs(true["H2"][1]) > 0.01)
    noise = np.random.default_rng(seed).normal(0, 1e-7, len(points) * (len(points) - 1) // 2)
    found = solve_spacings(measured(face, noise=noise, sigma=1e-7), frame)

    for name, place in true.items():
        assert found.places[name] == pytest.approx(place, abs=1e-4)
    # Whatever the places, the fit is no worse than the truth.
    assert sum(r**2 for r in found.residuals) <= sum(noise**2) * (1 + 1e-6)


def test_the_stated_uncertainty_covers_the_truth_19_times_in_20():
    face = {name: FACE[name] for name in ("D1", "D2", "B0", "B2", "B4", "B6")}
    pairs = [pair for pair in combinations(face, 2) if pair != ("B0", "B4")]
    true, random = in_frame(face), np.random.default_rng(5)
    hits = {name: np.zeros(2) for name in face}
    trials = 200
    for noise in random.normal(0, SIGMA, (trials, len(pairs))):
        found = solve_spacings(measured(face, pairs, noise), FRAME)
        for name in face:
            misses = np.abs(np.array(found.places[name]) - true[name])
            hits[name] += misses <= np.array(found.interval(name)) + 1e-15
    shares = np.array([hits[name] for name in face if name != "D1"]) / trials

    assert found.sigmas["D1"] == (0, 0)
    free = shares[shares < 1]
    assert len(free) == 9
    assert free.min() > 0.90
    assert free.max() < 0.98


@pytest.mark.parametrize("wrong", [0, 7, 21, 44])
def test_the_reading_that_does_not_fit_is_flagged(wrong):
    noise = np.random.default_rng(wrong).normal(0, SIGMA, 45)
    noise[wrong] += 4e-4
    found = solve_spacings(measured(FACE, noise=noise), FRAME)

    assert found.suspect == wrong
    assert found.alike == (wrong,)
    assert found.normalised[wrong] > 10


def test_with_one_spare_reading_nothing_tells_which_one_is_wrong():
    """Four holes and all six distances: the one condition left over is broken by any of them alike."""
    face = {name: FACE[name] for name in ("D1", "D2", "B2", "B6")}
    for wrong in range(6):
        noise = np.zeros(6)
        noise[wrong] = 4e-4
        assert solve_spacings(measured(face, noise=noise), FRAME).alike == tuple(range(6))


def test_good_readings_are_seldom_flagged():
    random = np.random.default_rng(9)
    flagged = [solve_spacings(measured(FACE, noise=random.normal(0, SIGMA, 45)), FRAME).suspect for _ in range(20)]

    assert sum(suspect is not None for suspect in flagged) <= 4


def test_a_reading_that_nothing_checks_says_so():
    face = {name: FACE[name] for name in ("D1", "D2", "B2")}
    found = solve_spacings(measured(face), FRAME)

    assert found.normalised == (None, None, None)
    assert found.suspect is None


def test_holes_that_are_not_tied_down_are_named():
    pairs = [*combinations(["D1", "D2", "B0", "B2"], 2), ("B2", "B4"), ("B4", "B6"), ("B0", "B6")]

    with pytest.raises(ValueError, match="Not tied down by these distances: B4, B6"):
        solve_spacings(measured(FACE, pairs), FRAME)


def test_a_part_that_could_fold_over_is_named_unless_a_sketch_settles_it():
    face = {name: FACE[name] for name in ("D1", "D2", "B2", "B6")}
    pairs = [pair for pair in combinations(face, 2) if pair != ("B2", "B6")]
    with pytest.raises(ValueError, match="could lie on either side of the line from D1 to D2"):
        solve_spacings(measured(face, pairs), FRAME)

    true = in_frame(face)
    for side in (1, -1):
        rough = {n: (x + 0.01, (side * y if n == "B6" else y) - 0.01) for n, (x, y) in true.items()}
        found = solve_spacings(measured(face, pairs), FRAME, rough)
        assert found.places["B6"] == pytest.approx((true["B6"][0], side * true["B6"][1]), abs=1e-9)


def test_a_shape_that_nothing_checks_is_refused_without_a_sketch():
    # K3,3: nine distances hold six points, none of them twice over, and no two points fold it.
    face = {f"H{k}": (0.1 * cos(a), 0.12 * sin(a)) for k, a in enumerate([0.1, 1.3, 2.2, 3.3, 4.1, 5.4])}
    pairs = [(a, b) for a in ("H0", "H2", "H4") for b in ("H1", "H3", "H5")]

    with pytest.raises(ValueError, match="more than one shape"):
        solve_spacings(measured(face, pairs), Frame("H0", "H1", "H2"))


def test_holes_in_one_line_are_hardly_tied_down_sideways():
    face = {"a": (0, 0), "b": (0.1, 0), "c": (0.2, 0), "d": (0.1, 0.1)}
    pairs = [("a", "b"), ("a", "d"), ("b", "d"), ("a", "c"), ("b", "c")]
    rough = dict(face)

    with pytest.raises(ValueError, match="c: hardly tied down"):
        solve_spacings(measured(face, pairs), Frame("a", "b", "d"), rough)


def test_readings_of_other_quality_count_by_their_quality():
    face = {name: FACE[name] for name in ("D1", "D2", "B2", "B6")}
    spacings = measured(face)
    coarse = Spacing("D1", "D2", spacings[0].distance + 1e-3, 1e-3)
    found = solve_spacings([*spacings, coarse], FRAME)

    assert found.places["D2"][0] == pytest.approx(spacings[0].distance, abs=2e-6)


@pytest.mark.parametrize(
    ("spacings", "frame", "words"),
    [
        ([Spacing("a", "a", 1, 1)], Frame("a", "b", "c"), "to itself"),
        ([Spacing("a", "b", 0, 1)], Frame("a", "b", "c"), "above 0"),
        ([Spacing("a", "b", 1, 0)], Frame("a", "b", "c"), "above 0"),
        ([Spacing("a", "b", 1, 1)], Frame("a", "b", "c"), 'No distance to "c"'),
        ([Spacing("a", "b", 1, 1)], Frame("a", "b", "a"), "three different"),
        ([Spacing(f"h{k}", f"h{k + 1}", 1, 1) for k in range(60)], Frame("h0", "h1", "h2"), "61 holes"),
    ],
)
def test_input_that_cannot_be_is_refused_in_words(spacings, frame, words):
    with pytest.raises(ValueError, match=words):
        solve_spacings(spacings, frame)


def test_a_sketch_must_show_every_hole():
    with pytest.raises(ValueError, match="lack B7"):
        solve_spacings(measured(FACE), FRAME, {name: FACE[name] for name in FACE if name != "B7"})


def test_two_readings_far_out_are_refused_and_one_is_flagged():
    noise = np.zeros(45)
    noise[4] = 0.01
    assert solve_spacings(measured(FACE, noise=noise), FRAME).suspect == 4
    noise[30] = -0.02
    with pytest.raises(ValueError, match="do not fit together, even without"):
        solve_spacings(measured(FACE, noise=noise), FRAME)


@settings(max_examples=40)
@given(st.integers(0, 2**32 - 1))
def test_part_of_the_distances_is_enough(seed):
    random = np.random.default_rng(seed)
    every = list(combinations(FACE, 2))
    pairs = [every[k] for k in random.choice(len(every), 26, replace=False)]
    # Chance may leave a hole loose, foldable or without any distance; it is then named, never placed.
    refused = ""
    try:
        found = solve_spacings(measured(FACE, pairs), FRAME)
    except ValueError as wrong:
        refused = str(wrong)
    if refused:
        assert any(words in refused for words in ("tied down", "either side", "one shape", "the datum needs"))
        return
    true = in_frame(FACE)
    assert max(dist(found.places[name], true[name]) for name in found.places) < 1e-9


def test_thirty_holes_are_worked_out_from_a_part_of_their_distances():
    face = {f"H{k}": (0.2 * cos(k), 0.006 * k) for k in range(30)}
    every = list(combinations(face, 2))
    pairs = [every[k] for k in np.random.default_rng(1).choice(len(every), 180, replace=False)]
    found = solve_spacings(measured(face, pairs), Frame("H0", "H1", "H2"))

    true = in_frame(face, Frame("H0", "H1", "H2"))
    assert max(dist(found.places[name], true[name]) for name in face) < 1e-9
