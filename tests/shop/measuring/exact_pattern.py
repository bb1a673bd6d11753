"""A pattern whose places are known exactly, and what calipers read on it."""

from __future__ import annotations

from math import hypot

PLACES = {"D1": (0.0, 0.0), "D2": (300.0, 0.0), "B1": (270.0, 110.0), "B2": (50.0, 125.0), "B3": (180.0, -140.0)}
SIZES = {"D1": 12.0, "D2": 12.0, "B1": 11.0, "B2": 11.0, "B3": 11.0}
HOLES = "\n".join(f"{name}\t{size}\t{'dowel' if name[0] == 'D' else 'tapped'}" for name, size in SIZES.items())


def reading(first, second, way="over", wrong=0.0):
    """Independent: the reading that an exact pattern gives."""
    (ax, ay), (bx, by) = PLACES[first], PLACES[second]
    edge = {"over": 1, "between": -1, "centres": 0}[way] * (SIZES[first] + SIZES[second]) / 2
    return f"{first}\t{second}\t{hypot(ax - bx, ay - by) + edge + wrong:.4f}\t{way}"


def all_readings(**wrong):
    names = list(PLACES)
    pairs = [(a, b) for at, a in enumerate(names) for b in names[at + 1 :]]
    ways = ["over", "between", "centres"]
    return "\n".join(reading(a, b, ways[at % 3], wrong.get(f"{a}_{b}", 0.0)) for at, (a, b) in enumerate(pairs))
