"""Both patterns on one axis: what clashes at an angle, and the angles at which nothing does, against shapely."""

import re
from math import radians

import pytest
from shapely import MultiPolygon, Point, Polygon
from shapely.affinity import rotate

from shop.plate.clocking import Clocking
from shop.plate.layout import read_state
from shop.worksheets.evaluation import worksheet_state
from specs.plate.sides import Side
from tests.factories.measuring import make_dimension, make_reading
from tests.factories.plate import CORNERS, make_left_out, make_plate
from tests.factories.worksheets import make_worksheet
from tests.pages import collapsed

pytestmark = pytest.mark.django_db


def page(client, sheet, query=""):
    return collapsed(client.get(f"/plate/{sheet.pk}/clocking/{query}"))


def at(sheet, degrees, **changes):
    plate = read_state(worksheet_state(sheet))
    return Clocking(plate, plate.as_cut(rotation=radians(degrees), **changes))


def discs(clocking, side):
    return [
        Point(hole.x * 1e3, hole.y * 1e3).buffer(max(hole.diameter, hole.head_diameter) * 500, quad_segs=64)
        for hole in getattr(clocking.given, side.value)
    ]


def test_the_walls_at_an_angle_agree_with_shapely():
    found = at(make_plate(), 20)
    engine = discs(found, Side.ENGINE)
    gearbox = [rotate(disc, 20, origin=(0, 0)) for disc in discs(found, Side.GEARBOX)]
    every = [a.distance(b) for k, a in enumerate([*engine, *gearbox]) for b in [*engine, *gearbox][k + 1 :]]
    assert found.walls[0].size * 1e3 == pytest.approx(min(every), abs=0.01)
    edge = Polygon(CORNERS).exterior
    assert found.edges[0].size * 1e3 == pytest.approx(min(edge.distance(d) for d in [*engine, *gearbox]), abs=0.01)


def test_within_the_listed_angles_nothing_clashes_and_between_them_something_does():
    sheet = make_plate(inputs={"ligament": "12 mm"})
    found = at(sheet, 0)
    engine, gearbox, plate = discs(found, Side.ENGINE), discs(found, Side.GEARBOX), Polygon(CORNERS).buffer(-5)
    assert 1 < len(found.clear) < 20
    stand = MultiPolygon(engine)
    for angle in angles_about(found.clear):
        turned = rotate(MultiPolygon(gearbox), angle, origin=(0, 0))
        least = stand.distance(turned)
        if abs(least - 12) > 0.02:
            assert listed(found, angle) == (least > 12 and plate.contains(turned)), angle


def angles_about(spans):
    """All round, and close to both ends of every span, where a wrong answer would show [deg]."""
    ends = [float(words.rstrip("°").replace("−", "-")) for span in spans for words in span.shown]
    return [*range(-180, 180, 5), *(end + off for end in ends for off in (-0.2, -0.1, 0.1, 0.2))]


def listed(found, angle):
    return any(_inside(span, angle + k) for span in found.clear for k in (-360, 0, 360))


def _inside(span, degrees):
    low, high = (float(words.rstrip("°").replace("−", "-")) for words in span.shown)
    return low <= degrees <= high


def test_the_page_turns_the_gearbox_draws_it_and_leads_into_the_worksheets_what_if(fitter):
    sheet = make_plate()
    said = page(fitter, sheet, "?rotation=20&ligament=5&edge=3")
    assert "Gearbox turned by 20°" in said
    assert "<svg" in said
    link = re.search(rf"/worksheets/{sheet.pk}/what-if/\?path=rotation&amp;value=(-?[\d.]+)%20deg", said)
    trial = collapsed(fitter.get(f"/worksheets/{sheet.pk}/what-if/?path=rotation&value={link.group(1)} deg"))
    assert f"Gearbox turned by: 0° → {float(link.group(1)):g}°" in trial


def test_a_clash_is_told_at_the_angle_that_was_asked(fitter):
    said = page(fitter, make_plate(), "?rotation=0&ligament=60")
    assert "under 60 mm." in said
    assert "too thin" in said


def test_holes_of_one_side_too_near_each_other_are_no_matter_of_angle(fitter):
    assert "no angle mends that" in page(fitter, make_plate(), "?rotation=0&ligament=140")


def test_a_hole_that_is_left_out_is_counted_nowhere(fitter):
    sheet = make_plate()
    assert "E-B3" in page(fitter, sheet, "?rotation=0&ligament=300")
    make_left_out(sheet)
    said = page(fitter, sheet, "?rotation=0&ligament=300")
    assert "E-B3 and" not in said
    assert "and E-B3" not in said
    assert "Left out, and not counted here: E-B3" in said


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("?rotation=3 mm&ligament=5", "is a length, but an angle is needed"),
        ("?rotation=0&ligament=-5", "A wall is 0 or more."),
        ("?rotation=0&ligament=", "Fill this in."),
        ("?rotation=<script>&ligament=5", "&lt;script&gt;"),
    ],
)
def test_what_cannot_be_read_is_told_beside_its_field(fitter, query, words):
    assert words in page(fitter, make_plate(), query)


def test_only_a_plate_is_clocked_and_one_that_cannot_be_worked_out_says_why(fitter):
    assert fitter.get(f"/plate/{make_worksheet().pk}/clocking/").status_code == 404
    broken = make_plate(inputs={"thickness": "3 kg"})
    for where in ("clocking", "bolts", "thickness"):
        said = collapsed(fitter.get(f"/plate/{broken.pk}/{where}/"))
        assert "is a mass, but a length is needed" in said


def test_an_outline_of_the_gearbox_turns_with_it_and_a_window_stays_with_the_engine():
    corner = dict(zip(("window", "x", "y", "diameter"), ("exhaust", "60", "-150", "0"), strict=True))
    other = {**corner, "x": "100", "y": "-120"}
    rows = {f"windows.{at}.{name}": value for at, row in enumerate((corner, other)) for name, value in row.items()}
    found = at(make_plate(inputs={"ligament": "9 mm", "outline_side": "gearbox", "edge": "4 mm", **rows}), 0)
    engine, gearbox = discs(found, Side.ENGINE), discs(found, Side.GEARBOX)
    window = Polygon([(60, -150), (100, -150), (100, -120), (60, -120)])
    seen = set()
    for angle in angles_about(found.clear):
        turned = rotate(MultiPolygon(gearbox), angle, origin=(0, 0))
        outline = rotate(Polygon(CORNERS), angle, origin=(0, 0))
        room = MultiPolygon([*engine, window]).distance(turned) - 9
        discs_in = MultiPolygon(engine)
        inside = (outline.exterior.distance(discs_in) if outline.contains(discs_in) else -1) - 4
        if abs(room) > 0.02 and abs(inside) > 0.02:
            assert listed(found, angle) == (room > 0 and inside > 0), angle
            seen.add(listed(found, angle))
    assert seen == {True, False}


def test_each_press_turns_the_gearbox_from_where_it_is_and_keeps_the_walls(fitter):
    sheet = make_plate()
    shown = page(fitter, sheet, "?rotation=175&ligament=5+mm&edge=3+mm")
    hrefs = re.findall(r'<a class="button second" href="(\?rotation[^"]+)">([^<]+)</a>', shown)
    assert [words for _, words in hrefs] == ["−10°", "−1°", "−0.1°", "+0.1°", "+1°", "+10°"]
    angles = {
        words: re.search(r"rotation=([^+]+)\+deg&amp;ligament=5\+mm&amp;edge=3\+mm", href)[1] for href, words in hrefs
    }
    # Beyond half a turn the angle is written the shorter way round.
    assert (angles["−10°"], angles["+0.1°"], angles["+10°"]) == ("165", "175.1", "-175")
    assert "Gearbox turned by 165°" in page(fitter, sheet, hrefs[0][0].replace("&amp;", "&"))


def test_thickness_heads_and_bolts_stand_beside_the_overlay(fitter):
    shown = page(fitter, make_plate())
    overlay = shown.partition('class="overlay"')[2].partition("</section>")[0]
    assert all(f"<dt>{word}</dt>" in overlay for word in ("Thickness", "Heads", "Bolts"))


def test_nothing_plainly_clears_where_a_reading_of_the_plate_is_in_doubt(fitter):
    assert "Nothing clashes." in page(fitter, make_plate())
    thickness = make_dimension(name="plate thickness")
    make_reading(dimension=thickness, mm=30)
    make_reading(dimension=thickness, mm=32)
    said = page(fitter, make_plate(inputs={"thickness": thickness}))
    assert "Nothing clashes as read, but readings are in doubt." in said
    assert "<td>holds</td>" not in said
    assert "<td>in doubt" in said


def test_the_picture_is_in_the_readers_units_whoever_looked_before(fitter, machinist, prefer):
    prefer("machinist", units="inch")
    sheet = make_plate()
    for client, unit, other in ((fitter, " mm", " in:"), (machinist, " in:", " mm"), (fitter, " mm", " in:")):
        drawn = re.search(r"<svg.*?</svg>", page(client, sheet))[0]
        assert unit in drawn
        assert other not in drawn
