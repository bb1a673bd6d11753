from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.chart import Bar, Curve, Limit, Spot, bars, fitted, plot
from specs.drawings.primitives import Circle, Line, Polyline, Role, Text, Tone
from specs.drawings.scale import Axis


def of_kind(drawing, kind, role=None):
    return [shape for shape in drawing.shapes if isinstance(shape, kind) and role in (None, shape.role)]


def box(text):
    xs, ys = zip(*text.reach, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def overlap(a, b):
    (l1, b1, r1, t1), (l2, b2, r2, t2) = box(a), box(b)
    return min(r1, r2) - max(l1, l2) > 0.01 and min(t1, t2) - max(b1, b2) > 0.01


def inside(drawing, shape):
    box = drawing.bounds
    return all(box.left <= x <= box.right and box.bottom <= y <= box.top for x, y in shape.reach)


def gears():
    curves = [Curve(((0, 0), (7000, top)), f"gear {n}") for n, top in enumerate([50, 90, 130, 170, 175, 180], 1)]
    return plot(
        "Gears",
        "Road speed over engine speed.",
        x=Axis("engine speed, rpm", 0, 7000),
        y=Axis("road speed, km/h", 0, 200),
        curves=curves,
        limits=[Limit(150, "limit 150 km/h"), Limit(6500, "red line", upright=True)],
        spots=[Spot((1000, 20), "idle"), Spot((6000, 120), "peak"), Spot((3000, 80))],
    )


def test_a_curve_is_drawn_to_scale_within_the_frame():
    chart = gears()
    first, second = of_kind(chart, Polyline, Role.OUTLINE)[1:3]

    assert first.points[0] == second.points[0]
    rise = [curve.points[1][1] - curve.points[0][1] for curve in (first, second)]
    assert rise[0] / rise[1] == pytest.approx(50 / 90)


def test_every_curve_is_named_and_no_words_cover_others():
    texts = of_kind(gears(), Text)

    assert {f"gear {n}" for n in range(1, 7)} <= {text.words for text in texts}
    level = [text for text in texts if not text.rotation]
    assert [(a.words, b.words) for a, b in combinations(level, 2) if overlap(a, b)] == []


def test_limits_and_spots_say_what_they_are():
    chart = gears()
    across, upright = of_kind(chart, Line, Role.LIMIT)

    assert across.start[1] == across.end[1]
    assert upright.start[0] == upright.end[0]
    assert {"limit 150 km/h", "red line", "idle", "peak"} <= {text.words for text in of_kind(chart, Text)}
    assert len(of_kind(chart, Circle)) == 3


def rising(sign, highest=12000):
    points = tuple((x, sign * x) for x in range(0, highest + 1, highest // 60))
    x, y = Axis("force, N", 0, highest), Axis.around("torque, N·m", [y for _, y in points])
    middle = (highest * 0.3, sign * highest * 0.3)
    return plot("A sweep", "A straight line.", x=x, y=y, curves=[Curve(points)], spots=[Spot(middle, "as it is now")])


@pytest.mark.parametrize("highest", [12000, 1200000, 60])
def test_the_last_figure_under_an_axis_stays_on_the_sheet(highest):
    chart = rising(1, highest)
    assert all(inside(chart, text) for text in of_kind(chart, Text))


@pytest.mark.parametrize("sign", [1, -1])
def test_a_spots_words_stand_beside_the_curve_whichever_way_it_runs(sign):
    chart = rising(sign)
    (words,) = [text for text in of_kind(chart, Text) if text.words == "as it is now"]
    left, low, right, high = box(words)
    curve = max(of_kind(chart, Polyline, Role.OUTLINE), key=lambda line: len(line.points))
    assert not [point for point in curve.points if left <= point[0] <= right and low <= point[1] <= high]


def test_a_curve_without_a_name_leaves_its_room_to_the_plot():
    axis = Axis("x", 0, 1, tuple((k / 20, f"{k / 20:.3f}") for k in range(21)))
    named, bare = (plot("T", "D", x=axis, y=axis, curves=[Curve(((0, 0), (1, 1)), w)]) for w in ("a name", ""))

    ends = [of_kind(chart, Polyline)[-1].points[-1][0] for chart in (named, bare)]
    assert ends[0] < ends[1]


@given(st.lists(st.tuples(st.text(max_size=60), st.floats(-5, 5), st.floats(-5, 5)), min_size=1, max_size=9))
def test_bars_stay_on_the_sheet_with_their_words(rows):
    drawn = [Bar(words, start, end, note=f"{end:.2f} mm", mark=start) for words, start, end in rows]
    chart = bars(
        "Stack", "D", axis=Axis("gap, mm", -5, 5), rows=drawn, limits=[Limit(-4, "at least"), Limit(4, "most")]
    )

    assert all(inside(chart, shape) for shape in chart.shapes)
    texts = of_kind(chart, Text)
    assert [(a.words, b.words) for a, b in combinations(texts, 2) if overlap(a, b)] == []


def test_a_bar_reaches_from_its_start_to_its_end():
    chart = bars("T", "D", axis=Axis("x", 0, 10), rows=[Bar("a", 2, 7, tone=Tone.OK)])
    (bar,) = of_kind(chart, Polyline)

    left, right = bar.points[0][0], bar.points[1][0]
    whole = of_kind(chart, Line, Role.GRID)
    span = whole[-1].start[0] - whole[0].start[0]
    assert (right - left) / span == pytest.approx(0.5)
    assert bar.fill is Tone.OK


def test_words_too_long_for_their_place_end_in_an_ellipsis():
    assert fitted("release bearing carrier", 1000) == "release bearing carrier"
    assert fitted("release bearing carrier", 25) == "release…"
    assert fitted("abc", 0) == "…"
