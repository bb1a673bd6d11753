"""Raw readings of the demo's faces: what a probe or a caliper would have read, with a little scatter that repeats."""

from __future__ import annotations

from itertools import combinations
from math import cos, hypot, pi, sin
from random import Random
from typing import Any

from shop.demo.component_faces import Pattern
from shop.measuring.caliper_table import (
    Placed,
    place,
    read_known,
    read_readings,
)
from shop.measuring.edge_points import read_points
from shop.measuring.forms.holes import length_in
from shop.measuring.hole_table import guess_columns, read_table
from specs.geometry.spacings import Frame

_PROBE, _CALIPER = 0.006, 0.02  # standard deviation of a reading [mm]


def probed(pattern: Pattern) -> list[dict[str, Any]]:
    """The holes of a face fitted to points probed on their edges."""
    chance = Random(pattern.days_ago)
    rows = ["name,x,y,kind,thread"]
    for name, x, y, diameter, kind, thread in pattern.holes:
        for at in range(pattern.probed):
            angle, reach = 2 * pi * at / pattern.probed, diameter / 2 + chance.gauss(0, _PROBE)
            rows.append(f"{name},{x + reach * cos(angle):.3f},{y + reach * sin(angle):.3f},{kind},{thread}")
    table = read_table("\n".join(rows))
    return [dict(hole) for hole in read_points(table, guess_columns(table), length_in("mm")).holes]


def by_calipers(pattern: Pattern) -> Placed:
    """The holes of a face placed by caliper readings between every pair of them."""
    chance = Random(pattern.days_ago)
    columns = ("name", "diameter", "kind", "thread")
    holes = [dict(zip(columns, (hole[0], str(hole[3]), *hole[4:6]), strict=True)) for hole in pattern.holes]
    known = read_known(holes, length_in("mm"), "clearance")
    rows = []
    for first, second in combinations(pattern.holes, 2):
        apart = hypot(first[1] - second[1], first[2] - second[2]) + (first[3] + second[3]) / 2
        rows.append({"first": first[0], "second": second[0], "value": f"{apart + chance.gauss(0, _CALIPER):.2f}"})
    readings = read_readings(rows, length_in("mm"), known)
    return place(known, readings, 2 * _CALIPER, Frame("D1", "D2", "B3"))
