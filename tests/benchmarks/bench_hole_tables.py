"""How a measuring machine's file is taken: python -m tests.benchmarks.bench_hole_tables

Prints, in processor time, what it costs to refuse 10,000 rows, to read 500 holes and to fit 2,000 probe points, each
beside plain splitting of the same text by the csv module.
"""

import csv
import time
from io import StringIO
from math import cos, pi, sin

from shop.measuring.edge_points import read_points
from shop.measuring.hole_table import (
    UnreadableTable,
    guess_columns,
    read_holes,
    read_table,
)
from specs.engine.parsing import read as read_quantity
from specs.engine.units import LENGTH


def millimetres(typed):
    """Read a typed length to mm."""
    return LENGTH.from_si(read_quantity(typed, LENGTH).value)


def seconds(action, times=3):
    """Return the fastest of several processor times [s]."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        action()
        taken.append(time.process_time() - start)
    return min(taken)


def holes_text(count):
    """Return a table of so many holes, no two in one place."""
    return "\n".join(f"B{at},{at % 40 * 9.5},{at // 40 * 9.5},8,tapped" for at in range(count))


def points_text(holes, points):
    """Return rows of points on the edges of so many holes."""
    angles = [2 * pi * at / points for at in range(points)]
    rows = (f"B{at},{at * 20 + 5 * cos(a):.4f},{5 * sin(a):.4f}" for at in range(holes) for a in angles)
    return "name,x,y\n" + "\n".join(rows)


def refuse(text):
    """Refuse a text that is too long, as the page does."""
    try:
        read_table(text)
    except UnreadableTable as wrong:
        return str(wrong)
    raise AssertionError("10,000 rows were taken")


def read(text, reader):
    """Read a text whole, as the page does."""
    table = read_table(text)
    found = reader(table, guess_columns(table), millimetres)
    assert not found.errors, found.errors[:3]


def cases():
    """Return each case: its name, its text and what is done to it."""
    return [
        ("refuse 10,000 rows", holes_text(10_000), refuse),
        ("read 500 holes", holes_text(500), lambda text: read(text, read_holes)),
        ("fit 2,000 points on 250 holes", points_text(250, 8), lambda text: read(text, read_points)),
    ]


def figures():
    """Return the seconds of each case."""
    return {name: seconds(lambda text=text, action=action: action(text)) for name, text, action in cases()}


def main():
    """Print one line a case: its time, and how many times plain splitting of its text that is."""
    for name, text, action in cases():
        plain = seconds(lambda text=text: list(csv.reader(StringIO(text))))
        taken = seconds(lambda text=text, action=action: action(text))
        print(f"{name}: {taken * 1000:.0f} ms, {taken / plain:.1f} × plain splitting")


if __name__ == "__main__":
    main()
