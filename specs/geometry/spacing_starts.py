"""First guesses of places from distances alone, for a least-squares fit to begin at."""

from collections.abc import Iterator, Mapping, Sequence
from math import cos, sin, sqrt, tau
from typing import TYPE_CHECKING

from specs.geometry.points import Point, distance

if TYPE_CHECKING:
    import numpy

    Lengths = Mapping[tuple[int, int], float]

_GUESSES, _LIKELY = 40, 6


def starts(count: int, lengths: "Lengths") -> Iterator["numpy.ndarray"]:
    """Guesses of `count` places from the lengths between pairs of them (by number), the most likely first."""
    import numpy as np

    yield scaled(count, lengths)
    random = np.random.default_rng(22)
    guesses = [built(count, lengths, random) for _ in range(_GUESSES)]

    def stress(places: "numpy.ndarray") -> float:
        return sum((distance(tuple(places[a]), tuple(places[b])) - d) ** 2 for (a, b), d in lengths.items())

    yield from sorted(guesses, key=stress)[:_LIKELY]


def scaled(count: int, lengths: "Lengths") -> "numpy.ndarray":
    """Classical scaling of the shortest paths: exact where every distance was measured exactly."""
    import numpy as np

    paths = np.full((count, count), np.inf)
    np.fill_diagonal(paths, 0)
    for (a, b), length in lengths.items():
        paths[a, b] = paths[b, a] = length
    for k in range(count):
        paths = np.minimum(paths, paths[:, k : k + 1] + paths[k : k + 1, :])
    centre = np.eye(count) - 1 / count
    sizes, axes = np.linalg.eigh(-centre @ paths**2 @ centre / 2)
    return axes[:, -2:] * np.sqrt(np.maximum(sizes[-2:], 1e-12))


def built(count: int, lengths: "Lengths", random: "numpy.random.Generator") -> "numpy.ndarray":
    """One point after another, always one with most distances to those placed; chance decides what distances leave.

    Needs distances that hold all points together.
    """
    import numpy as np

    near: list[dict[int, float]] = [{} for _ in range(count)]
    for (a, b), length in lengths.items():
        near[a][b] = near[b][a] = length
    first = int(random.integers(count))
    second = int(random.choice(sorted(near[first])))
    placed: dict[int, Point] = {first: (0.0, 0.0), second: (near[first][second], 0.0)}
    while len(placed) < count:
        tied = {k: sum(n in placed for n in near[k]) for k in range(count) if k not in placed}
        most = max(tied.values())
        chosen = int(random.choice([k for k, ties in tied.items() if ties == most]))
        placed[chosen] = _place([(placed[n], d) for n, d in near[chosen].items() if n in placed], random)
    return np.array([placed[k] for k in range(count)])


def _place(ties: Sequence[tuple[Point, float]], random: "numpy.random.Generator") -> Point:
    """Where two of the circles meet, on the side that the others like better."""
    (a, ra), (b, rb) = ties[0], ties[-1]
    if len(ties) > 2:
        (a, ra), (b, rb) = (ties[int(k)] for k in random.choice(len(ties), 2, replace=False))
    apart = distance(a, b)
    if apart == 0:  # One distance only, so far: anywhere on its circle.
        angle = float(random.uniform(0, tau))
        return a[0] + ra * cos(angle), a[1] + ra * sin(angle)
    along = (apart**2 + ra**2 - rb**2) / (2 * apart)
    across = sqrt(max(ra**2 - along**2, 0.0))
    ux, uy = (b[0] - a[0]) / apart, (b[1] - a[1]) / apart
    sides = [(a[0] + ux * along - uy * s, a[1] + uy * along + ux * s) for s in (across, -across)]
    random.shuffle(sides)
    return min(sides, key=lambda p: sum((distance(p, q) - d) ** 2 for q, d in ties))
