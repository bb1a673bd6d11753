"""The drawing that an outside shop makes a plate from: complete, after the standards, and never of a doubted plate."""

import re

import pytest

from shop.print.drawing_border import _fields
from tests.factories.plate import accept, make_left_out, make_plate
from tests.factories.print import make_printed
from tests.pages import collapsed
from tests.pdfs import boxes_of, reader, sizes_of, text_of

pytestmark = pytest.mark.django_db

REGISTER = {"window": "register", "x": "0 mm", "y": "0 mm", "diameter": "180 mm"}


def drawing(sheet, paper="A3"):
    return bytes(make_printed("plate-drawing", sheet, paper=paper).pdf)


def plate_with_register():
    given = {f"windows.0.{name}": value for name, value in REGISTER.items()}
    return accept(make_plate(inputs=given, opening=False))


def test_it_says_all_that_a_shop_needs_that_knows_nothing_of_the_job():
    """Limits: ISO 286-2, H7 of 180 mm is +0.040/0 and of 12 mm +0.018/0. ISO 273 medium: 11 mm for M10; H13.
    ISO 2768-1 m: ± 0.2 on 20 mm."""
    said = text_of(drawing(plate_with_register()))
    for words in (
        "Finished plate: Adapter plate Orvane V6 to Teskel QZ-5",
        "First angle projection (ISO 5456-2)",
        "Material 6082-T6",
        "Thickness 20.00 ± 0.2",
        "General tolerances ISO 2768-1 m",
        "x = 0, y = 0 is the crankshaft axis",
        "register: round Ø180 H7 +0.040/0 at x 0.00, y 0.00; REGISTER",
        "E-D1 −150.000 0.000 ± 0.01 Ø12 H7 +0.018/0 through",
        "E-B1 120.00 110.00 ± 0.1 Ø11 H13 through; counterbore Ø17, 10.4 mm, from the gearbox side",
        "G-B1 0.00 150.00 ± 0.1 M12 6H through",
        "corners in order (x, y) −200.00, −180.00; 200.00, −180.00",
        "Eye protection",
        "flatness and how parallel the faces are: not on record",
    ):
        assert words in said, words
    assert "NOT TO BE CUT" not in said
    for length in ("400.0", "370.0", "20.00"):
        assert length in said


def test_the_scale_is_a_standard_one_on_each_paper_and_a3_takes_one_sheet():
    """ISO 5455: reductions 1 : 2, 1 : 5, 1 : 10. ISO 5457: border 20 mm from the left edge, 10 mm from the others."""
    sheet = plate_with_register()
    for paper, size, pages in (("A3", (1191, 842), 1), ("A4", (595, 842), 2), ("Letter", (612, 792), 2)):
        pdf = drawing(sheet, paper)
        assert set(sizes_of(pdf)) == {size}
        assert len(reader(pdf).pages) <= pages
        assert re.search(r"Scale 1 : (1|2|5|10|20|50),", text_of(pdf))
        border = (size[0] / 72 * 25.4 - 30, size[1] / 72 * 25.4 - 20)
        assert any(box == pytest.approx(border, abs=0.2) for box in boxes_of(pdf))


def test_fields_of_the_grid_reference_are_counted_from_the_middle():
    """ISO 5457, from memory: fields of 50 mm from the middle, those at the corners take what is left (A3: 390 mm)."""
    widths = [round((end - start) * 25.4 / 72, 3) for start, end in _fields(0.0, 390 / 25.4 * 72)]
    assert widths == [45, 50, 50, 50, 50, 50, 50, 45]


def test_a_plate_that_may_not_be_cut_leaves_marked_on_every_sheet():
    sheet = make_plate()
    unaccepted = drawing(sheet, "A4")
    for page in reader(unaccepted).pages:
        assert "NOT TO BE CUT" in page.extract_text()
    assert "NOT TO BE CUT" not in text_of(drawing(accept(sheet)))
    sheet.inputs.filter(path="thickness").update(typed="19 mm")
    changed = text_of(drawing(sheet))
    assert "NOT TO BE CUT: a drawing for talk and price only." in changed
    assert "Changed since accepted" in changed


def test_dowels_that_are_reamed_in_place_are_left_to_us_and_left_out_holes_are_named(fitter):
    sheet = make_plate()
    make_left_out(sheet)
    sheet.inputs.get(path="engine").pattern.holes.update(uncertainty=0.02)
    for name in ("D1", "D2"):
        make_left_out(sheet, side="gearbox", hole=name, kind="assembly")
    said = text_of(drawing(sheet))
    assert "E-D1 −150.000 0.000 ± 0.01 Ø11.75 ± 0.2 through; do NOT ream: we ream Ø12 H7 in place" in said
    assert "LEFT OUT: do not drill these" in said
    assert "Drawing of the finished plate" in collapsed(fitter.get(sheet.get_absolute_url()))
