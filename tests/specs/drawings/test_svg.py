import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings import svg
from specs.drawings.primitives import Arc, Circle, Drawing, Extent, Line, Polyline, Role, Stroke, Text, Tone

SVG = "{http://www.w3.org/2000/svg}"
STYLE_SHEET = Path(__file__).parents[3] / "shop/static/css/drawing.css"


FRAME = Extent(0, 0, 100, 50)


def parse(*items, title="Plate", description="A plate.", bounds=FRAME):
    return ElementTree.fromstring(svg.write(Drawing(title, description, items, bounds), "p1"))


def test_view_box_is_in_millimetres_with_y_turned_downwards():
    assert parse(bounds=Extent(-10, -5, 90, 45)).get("viewBox") == "-10 -45 100 50"


def test_a_reader_hears_title_and_description():
    root = parse(title="Bell housing", description="Eight holes on one circle.")

    names = {element.get("id"): element.text for element in root if element.tag in (SVG + "title", SVG + "desc")}
    assert root.get("role") == "img"
    assert [names[key] for key in root.get("aria-labelledby").split()] == ["Bell housing", "Eight holes on one circle."]


def test_two_drawings_on_one_page_share_no_id():
    drawing = Drawing("T", "D", [Line((0, 0), (1, 1))])

    ids = [set(re.findall(r'id="([^"]+)"', svg.write(drawing, prefix))) for prefix in ("first", "second")]
    assert ids[0]
    assert not ids[0] & ids[1]


def test_shapes_keep_their_places():
    root = parse(
        Line((0, 0), (10, 20)),
        Circle((5, 6), 2.5),
        Polyline(((0, 0), (4, 0), (4, 3)), closed=True, fill=Tone.METAL),
        Polyline(((0, 0), (1, 1))),
        Arc((0, 0), 10, 0, 90),
    )

    line, circle, polygon, polyline, arc = list(root)[2:]
    assert [line.get(k) for k in ("x1", "y1", "x2", "y2")] == ["0", "0", "10", "-20"]
    assert [circle.get(k) for k in ("cx", "cy", "r")] == ["5", "-6", "2.5"]
    assert (polygon.tag, polygon.get("points")) == (SVG + "polygon", "0,0 4,0 4,-3")
    assert "fill-metal" in polygon.get("class")
    assert polyline.tag == SVG + "polyline"
    assert arc.get("d") == "M10,0 A10 10 0 0 0 0,-10"


def test_an_arc_of_more_than_half_a_turn_takes_the_long_way():
    assert " 0 1 0 " in parse(Arc((0, 0), 10, 90, 0))[2].get("d")


def test_an_arc_all_the_way_round_is_a_circle():
    assert parse(Arc((1, 2), 10, 0, 360))[2].tag == SVG + "circle"


def test_role_and_stroke_are_classes_and_every_class_has_a_look():
    css = STYLE_SHEET.read_text()
    for role in Role:
        assert f".role-{role}" in css
    for stroke in Stroke:
        assert stroke is Stroke.NARROW or f".stroke-{stroke} " in css
    for tone in Tone:
        assert f".fill-{tone} " in css
    assert parse(Line((0, 0), (1, 1), role=Role.LIMIT))[2].get("class") == "role-limit stroke-dashed"


def test_no_inline_style_and_no_script():
    everything = [Line((0, 0), (1, 1)), Text((0, 0), "a", rotation=30), Arc((0, 0), 1, 0, 90), Circle((0, 0), 1)]
    written = svg.write(Drawing("T", "D", everything), "p")

    assert "style" not in written
    assert "script" not in written


def test_words_stay_words():
    hostile = '</text><script>alert("1")</script>&amp;'

    assert parse(Text((0, 0), hostile), title=hostile)[2].text == hostile


@given(st.text())
def test_any_words_make_a_readable_file(words):
    text = parse(Text((0, 0), words))[2].text or ""

    assert len(text) <= len(words)
    assert not re.search(r"[\x00-\x1f\x7f]", text)


def test_turned_words_turn_counter_clockwise_about_their_place():
    text = parse(Text((10, 20), "bore", height=3.6, anchor="middle", rotation=90))[2]

    assert text.get("transform") == "rotate(-90 10 -20)"
    assert (text.get("font-size"), text.get("text-anchor")) == ("5.6", "middle")


@pytest.mark.parametrize("bad", [float("nan"), float("inf")])
def test_a_place_that_is_no_number_is_refused(bad):
    with pytest.raises(ValueError, match="finite"):
        parse(Line((0, 0), (bad, 1)))
    with pytest.raises(ValueError, match="finite"):
        Drawing("T", "D", [Line((0, 0), (bad, 1))])


@pytest.mark.parametrize("radius", [0, -1, float("nan")])
def test_a_circle_needs_a_radius(radius):
    with pytest.raises(ValueError, match="above 0"):
        Circle((0, 0), radius)
    with pytest.raises(ValueError, match="above 0"):
        Arc((0, 0), radius, 0, 90)


def test_a_drawing_of_nothing_is_refused():
    with pytest.raises(ValueError, match="at least one"):
        Drawing("T", "D", [])
