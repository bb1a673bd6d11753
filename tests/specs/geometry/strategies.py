"""Points, patterns and outlines for the property tests, in metres as a bell housing has them."""

from math import cos, pi, sin

from hypothesis import strategies as st

coordinates = st.floats(-0.4, 0.4).map(lambda value: round(value, 6))
points = st.tuples(coordinates, coordinates)
angles = st.floats(-pi, pi)


def ring(radii, turn=0.0):
    """A star-shaped outline round the origin that cannot cross itself."""
    step = 2 * pi / len(radii)
    return [(r * cos(turn + k * step), r * sin(turn + k * step)) for k, r in enumerate(radii)]


outlines = st.builds(ring, st.lists(st.floats(0.1, 0.4), min_size=3, max_size=9), angles)
