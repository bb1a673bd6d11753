"""Whether measured distances hold a set of points together, and which points they leave loose."""

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy

Pair = tuple[int, int]
_NOUGHT = 1e-8


def loose_points(count: int, pairs: Sequence[Pair], origin: int, along: int) -> tuple[int, ...]:
    """Points that can still move when `origin` is held and `along` is kept on the x axis.

    Judged by the rank of the rigidity matrix at a place in general position (fixed seed): distances that hold there
    hold almost everywhere.
    """
    import numpy as np

    places = np.random.default_rng(20).normal(size=(count, 2))
    # Held: both coordinates of the origin, and the bearing of `along` from it.
    held = np.zeros((3, 2 * count))
    held[0, 2 * origin] = held[1, 2 * origin + 1] = 1
    run = places[along] - places[origin]
    held[2, 2 * along : 2 * along + 2] = -run[1], run[0]
    _, sizes, motions = np.linalg.svd(np.vstack([_rows(places, pairs), held]))
    free = motions[int((sizes > _NOUGHT * sizes[0]).sum()) :]
    moves = np.abs(free).reshape(len(free), count, 2).max(axis=(0, 2)) if len(free) else np.zeros(count)
    return tuple(int(k) for k in np.nonzero(moves > 1e-6)[0])


def _rows(places: "numpy.ndarray", pairs: Sequence[Pair]) -> "numpy.ndarray":
    """How each distance changes with each coordinate, times the distance."""
    import numpy as np

    rows = np.zeros((len(pairs), 2 * len(places)))
    for k, (a, b) in enumerate(pairs):
        run = places[b] - places[a]
        rows[k, 2 * a : 2 * a + 2], rows[k, 2 * b : 2 * b + 2] = -run, run
    return rows


def fold(count: int, pairs: Sequence[Pair]) -> tuple[Pair, tuple[int, ...]] | None:
    """Two points across whose line a part can be folded over without changing any distance, and that part; or None."""
    for a, b in combinations(range(count), 2):
        parts = list(_parts(count, pairs, {a, b}))
        if len(parts) > 1:
            return (a, b), min(parts, key=len)
    return None


def _parts(count: int, pairs: Sequence[Pair], without: set[int]) -> Iterator[tuple[int, ...]]:
    """The connected parts of what is left when some points are taken away."""
    near: dict[int, set[int]] = {k: set() for k in range(count) if k not in without}
    for a, b in pairs:
        if a in near and b in near:
            near[a].add(b)
            near[b].add(a)
    left = set(near)
    while left:
        found, ahead = set(), {min(left)}
        while ahead:
            found |= ahead
            ahead = {n for k in ahead for n in near[k]} - found
        left -= found
        yield tuple(sorted(found))


def unchecked(count: int, pairs: Sequence[Pair]) -> tuple[int, ...]:
    """Distances (by number) without which the set would no longer be held: nothing else checks them.

    Those are the ones that no self-stress loads (the left null space of the rigidity matrix).
    """
    import numpy as np

    places = np.random.default_rng(21).normal(size=(count, 2))
    left, sizes, _ = np.linalg.svd(_rows(places, pairs))
    rank = int((sizes > _NOUGHT * sizes[0]).sum())
    loads = np.abs(left[:, rank:]).max(axis=1, initial=0.0)
    return tuple(int(k) for k in np.nonzero(loads < 1e-6)[0])
