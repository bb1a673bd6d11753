import numpy as np
import pytest

from specs.geometry.calipers import Estimate, centre_distance


def test_over_the_far_edges_and_over_the_wall_agree():
    first, second = Estimate(10, 0.02), Estimate(12, 0.02)

    assert centre_distance(Estimate(111, 0.02), first, second, outside=True).value == 100
    assert centre_distance(Estimate(89, 0.02), first, second, outside=False).value == 100


@pytest.mark.parametrize("outside", [True, False])
def test_the_stated_uncertainty_is_that_of_repeated_readings(outside):
    random = np.random.default_rng(3)
    read = random.normal(100, 0.02, 20_000), random.normal(10, 0.03, 20_000), random.normal(12, 0.01, 20_000)
    values = read[0] + (-1 if outside else 1) * (read[1] + read[2]) / 2
    stated = centre_distance(Estimate(100, 0.02), Estimate(10, 0.03), Estimate(12, 0.01), outside=outside)

    assert stated.sigma == pytest.approx(np.std(values), rel=0.03)


@pytest.mark.parametrize(("reading", "diameter", "words"), [(11, 10, "too short"), (100, 0, "above 0")])
def test_readings_that_cannot_be_are_refused(reading, diameter, words):
    with pytest.raises(ValueError, match=words):
        centre_distance(Estimate(reading, 0.02), Estimate(diameter, 0), Estimate(12, 0), outside=True)
