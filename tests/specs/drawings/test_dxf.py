import io

import ezdxf
import pytest

from specs.drawings import dxf
from specs.drawings.annotation import CentreMark
from specs.drawings.primitives import Arc, Circle, Line, Polyline, Text


def read_back(layers):
    return ezdxf.read(io.StringIO(dxf.write(layers)))


def test_the_file_is_r2010_in_millimetres_and_passes_its_audit():
    document = read_back({"DRILL 8.5": [Circle((0, 0), 4.25)]})

    assert document.dxfversion == "AC1024"
    assert document.header["$INSUNITS"] == ezdxf.units.MM
    assert not document.audit().has_errors


def test_holes_come_back_at_their_places_on_their_layer():
    holes = [Circle((12.3456789, -7.5), 4.25), Circle((0, 100), 6)]
    found = read_back({"DRILL": holes, "REAM": [Circle((1, 2), 5)]}).modelspace().query('CIRCLE[layer=="DRILL"]')

    assert [(c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in found] == [(12.3456789, -7.5, 4.25), (0, 100, 6)]


def test_lines_outlines_arcs_and_marks_are_kept():
    items = [
        Line((0, 0), (10, 5)),
        Polyline(((0, 0), (10, 0), (10, 5)), closed=True),
        Arc((1, 2), 3, 350, 20),
        CentreMark((5, 5), 2),
    ]
    space = read_back({"CUT": items}).modelspace()

    (outline,), (arc,) = space.query("LWPOLYLINE"), space.query("ARC")
    assert outline.closed
    assert [tuple(p) for p in outline.get_points("xy")] == [(0, 0), (10, 0), (10, 5)]
    assert (arc.dxf.start_angle, arc.dxf.end_angle % 360) == (350, 20)
    assert len(space.query("LINE")) == 3


def test_words_with_control_codes_are_shown_as_typed():
    (text,) = read_back({"MARK": [Text((1, 2), "50%%c\n^J", height=4, anchor="middle")]}).modelspace().query("TEXT")

    assert text.plain_text() == "50%%c ^J"
    assert text.dxf.height == 4
    assert tuple(text.get_placement()[1])[:2] == (1, 2)


@pytest.mark.parametrize("name", ["A/B", "", " ", "A\nB"])
def test_a_layer_name_that_a_machine_cannot_read_is_refused(name):
    with pytest.raises(ValueError, match="layer"):
        dxf.write({name: [Circle((0, 0), 1)]})


def test_two_layers_of_one_name_are_refused():
    with pytest.raises(ValueError, match="already"):
        dxf.write({"Drill": [Circle((0, 0), 1)], "DRILL": [Circle((0, 0), 1)]})


@pytest.mark.parametrize("items", [[], [Line((0, 0), (float("nan"), 0))], [Polyline(())]])
def test_a_faulty_shape_never_leaves(items):
    with pytest.raises(ValueError, match="finite place"):
        dxf.write({"CUT": items})
