"""The machinist's papers and files of a plate: mirrored where they must be, traceable, and full size."""

import csv
import io
import os
import re
import shutil
import subprocess
from itertools import combinations

import ezdxf
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from shop.print.facts import thaw
from shop.print.plate_card_facts import PlateFacts
from shop.print.plate_drawing import plate_drawing
from shop.print.template import (
    BAR,
    FOOT,
    MARGIN,
    STRIP,
)
from shop.print.template_tiles import OVERLAP, cut_by_joins, tiles
from shop.worksheets.models import Worksheet
from specs.drawings.primitives import Extent, Text, bounds_of
from specs.plate.sides import Side
from tests.factories.measuring import make_component, make_pattern
from tests.factories.plate import accept, make_plate
from tests.factories.print import make_printed
from tests.factories.worksheets import make_worksheet
from tests.pages import collapsed
from tests.pdfs import reader, sizes_of, text_of

pytestmark = pytest.mark.django_db

DPI = 600
MM_PER_DOT = 25.4 / DPI
OUTLINE = 0.5  # mm: the width of a wide line
END_LINE = 0.25  # mm: the width of the lines that end a check bar


def facts_of(printed):
    return thaw(PlateFacts, printed.facts)


def csv_of(client, sheet, side):
    """The rows of an accepted plate's holes: the opening for crank and clutch apart."""
    response = client.get(f"/print/{(sheet if sheet.accepted.exists() else accept(sheet)).pk}/{side}.csv")
    assert response.status_code == 200, collapsed(response)
    rows = csv.DictReader(io.StringIO(response.content.decode()))
    return [row for row in rows if row["hole"] != "crank and clutch"]


def dxf_of(client, sheet, side):
    response = client.get(f"/print/{(sheet if sheet.accepted.exists() else accept(sheet)).pk}/{side}.dxf")
    document = ezdxf.read(io.StringIO(response.content.decode()))
    assert not document.audit().errors
    return document


def circles(document):
    return {
        (round(c.dxf.center.x, 4), round(c.dxf.center.y, 4), round(c.dxf.radius, 4), c.dxf.layer)
        for c in document.modelspace().query("CIRCLE")
    }


def test_the_set_up_sheets_say_the_side_the_operations_and_the_tools():
    said = text_of(bytes(make_printed("plate-setup", make_plate()).pdf))
    for words in (
        "GEARBOX SIDE UP",
        "ENGINE SIDE UP",
        "As the engine sees the plate: MIRRORED.",
        "x, MIRRORED",
        "drill Ø10.2 (ISO 2306)",
        "tap M12 6H",
        "counterbore Ø17",
        "10.4 mm",
        "reamer Ø12 H7",
        "Datum: crankshaft axis",
        "First hole G-D1: 116.62 mm from the datum. Last hole E-B3: 143.18 mm from the datum.",
        "Material 6082-T6 (usual, nobody has chosen yet)",
        "Thickness 20.00 mm",
        "Blank 400.0 × 370.0 mm or more",
        "Punch G into this side",
    ):
        assert words in said


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_set_up_sheets_are_three_at_most_and_name_the_plate_in_their_title(paper):
    printed = make_printed("plate-setup", plate_with_windows(), paper=paper)
    pages = reader(bytes(printed.pdf)).pages
    assert len(pages) <= 3
    for page in pages:
        assert "Adapter plate Orvane V6 to Teskel QZ-5" in " ".join(page.extract_text().split())
    said = text_of(bytes(printed.pdf))
    assert "Eye protection." in said
    assert "the slug drops or jams the cutter" in said
    assert re.search(r"Drawn at 1 : [\d.]+, mm: read the figures", said)
    assert "G-B1 0.00 150.00 ± 0.1 M12 6H tapped drill, tap" in said


def test_names_on_the_drawing_keep_off_one_another():
    drawn = plate_drawing(facts_of(make_printed("plate-setup", plate_with_windows())), Side.GEARBOX)
    boxes = [bounds_of([shape]) for shape in drawn.shapes if isinstance(shape, Text) and len(shape.words) > 1]
    assert len(boxes) == 14
    for one, other in combinations(boxes, 2):
        wide = min(one.right, other.right) - max(one.left, other.left)
        high = min(one.top, other.top) - max(one.bottom, other.bottom)
        assert wide <= 0 or high <= 0


def test_dowels_are_placed_first_then_bolt_holes_by_size_and_the_check_names_the_first_and_the_last(fitter):
    sheet = make_plate()
    drilled = [
        (row["tool_diameter_mm"], row["hole"]) for row in csv_of(fitter, sheet, "gearbox") if row["work"] == "DRILL"
    ]
    assert [size for size, _ in drilled] == ["9.75"] * 2 + ["11.75"] * 2 + ["10.2"] * 3 + ["11"] * 3
    said = text_of(bytes(make_printed("plate-setup", sheet).pdf))
    assert f"First hole {drilled[0][1]}: " in said
    assert f"Last hole {drilled[-1][1]}: " in said


def test_a_side_that_nothing_is_cut_from_says_so():
    said = text_of(bytes(make_printed("plate-setup", make_plate()).pdf))
    assert said.count("Nothing is cut from this side") == 1
    assert said.index("ENGINE SIDE UP") < said.index("Nothing is cut from this side")


def test_every_figure_is_traced_to_who_measured_what_and_when():
    said = text_of(bytes(make_printed("plate-setup", make_plate()).pdf))
    assert "Orvane V6: rear face, measured 2026-03-02" in said
    assert "Teskel QZ-5: front face, measured 2026-03-02" in said
    assert "Plate thickness 20 mm" in said
    assert "Engine read by pattern" in said
    assert "datum shaft axis; x to the right along the dowel line" in said
    assert "tap drills ISO 2306" in said


def test_a_plate_that_nobody_accepted_says_so_on_both_sides():
    said = text_of(bytes(make_printed("plate-setup", make_plate()).pdf))
    assert said.count("Not accepted yet.") == 2


def test_a_plate_is_cut_only_while_it_is_accepted_as_it_stands():
    sheet = make_plate()
    accept(sheet)
    assert "DO NOT CUT YET" not in text_of(bytes(make_printed("plate-setup", sheet).pdf))
    changed = Worksheet.objects.get(pk=sheet.pk)
    changed.inputs.filter(path="thickness").update(typed="19 mm")
    said = text_of(bytes(make_printed("plate-setup", changed).pdf))
    assert said.count("DO NOT CUT YET: the plate is not accepted as it stands today.") == 2


def test_walls_too_thin_for_the_heads_stop_the_machinist():
    crowded = make_plate(inputs={"ligament": "60 mm"})
    assert "DO NOT CUT YET: smallest wall" in text_of(bytes(make_printed("plate-setup", crowded).pdf))


def test_both_tables_laid_on_one_another_are_one_plate():
    facts = facts_of(make_printed("plate-setup", make_plate()))
    said = [
        page.extract_text() for page in reader(bytes(make_printed("plate-setup", Worksheet.objects.get()).pdf)).pages
    ]
    tables = "\n".join(said).split("HOLE TABLE")
    assert len(tables) == 3
    for hole in facts.holes:
        place = rf"{hole.name} (-?[\d.]+) (-?[\d.]+)"
        both = (re.search(place, " ".join(table.replace("−", "-").split())) for table in tables[1:])
        (x, y), (mirrored_x, same_y) = (map(float, found.groups()) for found in both)
        assert (x, y) == (pytest.approx(hole.x, abs=0.006), pytest.approx(hole.y, abs=0.006))
        assert (mirrored_x, same_y) == (-x, y)


def test_the_csv_of_a_side_holds_its_operations_in_order(fitter):
    rows = csv_of(fitter, make_plate(), "gearbox")
    assert [row["work"] for row in rows] == sorted(
        (row["work"] for row in rows), key=["DRILL", "REAM", "TAP", "COUNTERBORE"].index
    )
    assert {row["side_up"] for row in rows} == {"gearbox"}
    tap = next(row for row in rows if row["work"] == "TAP" and row["hole"] == "G-B2")
    assert (tap["x_mm"], tap["y_mm"], tap["tool"]) == ("-140.00", "-90.00", "tap M12 6H")


def test_both_sides_csv_hold_every_hole_and_lie_on_one_another(fitter):
    sheet = make_plate()
    straight, mirrored = (
        {row["hole"]: (float(row["x_mm"]), float(row["y_mm"])) for row in csv_of(fitter, sheet, side)}
        for side in ("gearbox", "engine")
    )
    assert len(straight) == 10
    assert {hole: (-x + 0.0, y) for hole, (x, y) in mirrored.items()} == straight
    assert {(row["work"], row["tool"]) for row in csv_of(fitter, sheet, "engine")} == {
        ("CHECK", "nothing from this side")
    }


def test_a_pattern_seen_from_the_engine_side_is_mirrored_into_the_plate(fitter):
    rows = csv_of(fitter, make_plate(gearbox_seen_from="engine"), "gearbox")
    assert next(row for row in rows if row["hole"] == "G-B2")["x_mm"] == "140.00"


def test_the_dxf_holds_every_operation_hole_by_hole_on_its_layer(fitter):
    sheet = make_plate()
    document = dxf_of(fitter, sheet, "gearbox")
    assert document.dxfversion == "AC1024"
    assert document.units == 4
    wanted = {
        (float(row["x_mm"]), float(row["y_mm"]), float(row["tool_diameter_mm"]) / 2, f"{row['work']}_GEARBOX_SIDE")
        for row in csv_of(fitter, sheet, "gearbox")
    }
    assert wanted <= circles(document)
    assert {layer.dxf.name for layer in document.layers} >= {"OUTLINE", "DRILL_GEARBOX_SIDE", "TAP_GEARBOX_SIDE"}


def test_the_engine_sides_dxf_laid_face_to_face_on_the_gearboxs_is_the_same_plate(fitter):
    sheet = make_plate()
    straight, mirrored = (circles(dxf_of(fitter, sheet, side)) for side in ("gearbox", "engine"))
    assert {(-x + 0.0, y, radius, layer) for x, y, radius, layer in mirrored} == straight


def test_a_hole_name_that_a_spreadsheet_would_run_is_defused(fitter):
    holes = [{"name": "+1", "x": 0, "y": 100, "diameter": 10, "kind": "clearance", "bolt": "M8"}]
    inputs = {"thickness": "20", "ligament": "1"}
    for side, rows in (("engine", holes), ("gearbox", [{**holes[0], "y": -100}])):
        inputs |= {f"{side}.{at}.{name}": str(value) for at, row in enumerate(rows) for name, value in row.items()}
    rows = csv_of(fitter, make_worksheet(calculation="plate-layout", inputs=inputs), "gearbox")
    assert all(row["hole"][0] not in "=+-@" for row in rows)


def test_a_plate_that_cannot_be_worked_out_says_why(fitter):
    sheet = make_plate(inputs={"thickness": "3 kg"})
    for address in (f"/print/{sheet.pk}/gearbox.csv", f"/print/{sheet.pk}/gearbox.dxf"):
        assert "is a mass, but a length is needed" in fitter.get(address).content.decode()


def test_only_a_plate_has_set_up_sheets(fitter):
    other = make_worksheet()
    assert fitter.get(f"/print/new/plate-setup/{other.pk}/").status_code == 404
    assert fitter.get(f"/print/{other.pk}/gearbox.csv").status_code == 404
    assert fitter.get(f"/print/{make_plate().pk}/upper.csv").status_code == 404


@pytest.mark.parametrize(("paper", "size"), [("A4", (595, 842)), ("A3", (842, 1191)), ("Letter", (612, 792))])
def test_the_template_is_printed_at_full_size_on_as_many_sheets_as_it_takes(paper, size):
    pdf = bytes(make_printed("template-gearbox", make_plate(), paper=paper).pdf)
    assert {tuple(sorted(sheet)) for sheet in sizes_of(pdf)} == {size}
    assert reader(pdf).root_object["/ViewerPreferences"]["/PrintScaling"] == "/None"
    for page in reader(pdf).pages:
        said = " ".join(page.extract_text().split())
        assert "Print at 100 %" in said
        assert "GEARBOX SIDE UP" in said
        assert "100 mm" in said
    assert len(reader(pdf).pages) == {"A4": 6, "A3": 2, "Letter": 6}[paper]


def test_tiles_cover_the_drawing_and_overlap():
    bounds = Extent(-210, -190, 215, 200)
    found = tiles(bounds, 179, 249)
    assert min(tile.window.left for tile in found) <= bounds.left
    assert max(tile.window.right for tile in found) >= bounds.right
    assert min(tile.window.bottom for tile in found) <= bounds.bottom
    assert max(tile.window.top for tile in found) >= bounds.top
    first, second = found[0].window, found[1].window
    assert first.right - second.left == pytest.approx(OVERLAP)


@given(st.lists(st.tuples(st.floats(-180, 180), st.floats(-170, 170)), max_size=12))
def test_no_join_cuts_a_hole_or_the_datum_unless_it_is_said(places):
    bounds = Extent(-200, -185, 200, 185)
    holes = [(f"H{at}", Extent(x - 9, y - 9, x + 9, y + 9)) for at, (x, y) in enumerate(places)]
    whole = [("the datum", Extent(-10, -10, 10, 10)), *holes]
    found = tiles(bounds, 183, 253, [one for _, one in whole])
    assert len(found) == 6
    assert found[0].window.left <= bounds.left
    assert found[-1].window.right >= bounds.right
    cut = cut_by_joins(found, whole)
    for name, one in whole:
        inside = [
            t.window
            for t in found
            if t.window.left <= one.left
            and one.right <= t.window.right
            and t.window.bottom <= one.bottom
            and one.top <= t.window.top
        ]
        assert bool(inside) != (name in cut)
    if len(places) < 3:  # so few leave a place for the joins on so much spare paper
        assert not cut


def test_the_joins_of_a_template_are_marked_with_the_sheet_beyond_and_a_doubted_one_is_struck_over():
    sheet = make_plate()
    pages = reader(bytes(make_printed("template-engine", sheet, paper="A4").pdf)).pages
    first = " ".join(pages[0].extract_text().split())
    assert "join: sheet 2" in first
    assert "join: sheet 4" in first
    assert "A join cuts" not in first
    assert all("NOT TO BE CUT" in page.extract_text() for page in pages)
    assert "NOT TO BE CUT" not in text_of(bytes(make_printed("template-engine", accept(sheet)).pdf))


@pytest.fixture
def rasterise(tmp_path):
    """The first page of a PDF as an array of dark dots, the top row first."""
    if shutil.which("pdftoppm") is None:
        if os.environ.get("CI") == "true":
            pytest.fail("pdftoppm (poppler-utils) is needed to measure the template")
        pytest.skip("pdftoppm (poppler-utils) is not installed")

    def dots_of(pdf):
        (tmp_path / "sheet.pdf").write_bytes(pdf)
        command = ["pdftoppm", "-r", str(DPI), "-gray", "-singlefile", "-l", "1"]
        subprocess.run([*command, str(tmp_path / "sheet.pdf"), str(tmp_path / "page")], check=True, timeout=120)
        with Image.open(tmp_path / "page.pgm") as picture:
            return np.asarray(picture) < 128

    return dots_of


def longest_run(dots):
    """Length of the longest unbroken dark run of a row of dots."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], dots.astype(np.int8), [0]])))
    return max((edges[1::2] - edges[::2]).tolist(), default=0)


def bar_in(strip):
    """Length [mm] of the longest line in a strip of rows, between the middles of its end lines."""
    return max(map(longest_run, strip)) * MM_PER_DOT - END_LINE


def test_both_check_bars_are_100_mm_on_paper(rasterise):
    dots = rasterise(bytes(make_printed("template-gearbox", make_plate()).pdf))
    foot = slice(-round((MARGIN + FOOT) / MM_PER_DOT), -round((MARGIN + FOOT - 8) / MM_PER_DOT))
    left = slice(round(MARGIN / MM_PER_DOT), round((MARGIN + STRIP) / MM_PER_DOT))
    assert bar_in(dots[foot]) == pytest.approx(BAR, abs=0.05)
    assert bar_in(dots.T[left]) == pytest.approx(BAR, abs=0.05)


def test_the_drawing_itself_is_full_size_on_paper(rasterise):
    """A square outline of 100 mm, alone on one sheet, measured between the middles of its lines."""
    corners = [(-50, -50), (50, -50), (50, 50), (-50, 50)]
    inputs = {"thickness": "20", "ligament": "1"}
    inputs |= {f"outline.{at}.{axis}": str(v) for at, c in enumerate(corners) for axis, v in zip("xy", c, strict=True)}
    for side, y in (("engine", 20), ("gearbox", -20)):
        row = {"name": "H", "x": 0, "y": y, "diameter": 8, "kind": "clearance", "bolt": "M6"}
        inputs |= {f"{side}.0.{name}": str(value) for name, value in row.items()}
    printed = make_printed("template-engine", make_worksheet(calculation="plate-layout", inputs=inputs))
    dots = rasterise(bytes(printed.pdf))
    drawn = dots[: -round((MARGIN + FOOT) / MM_PER_DOT), round((MARGIN + STRIP) / MM_PER_DOT) :]
    for strip in (drawn, drawn.T):
        assert max(map(longest_run, strip)) * MM_PER_DOT - OUTLINE == pytest.approx(100, abs=0.1)


def plate_with_windows(**changes):
    rows = [("starter", -60, 120, 50), ("exhaust", 20, -60, 0), ("exhaust", 70, -30, 0)]
    inputs = {
        f"windows.{at}.{name}": str(v) for at, row in enumerate(rows) for name, v in zip(WINDOW, row, strict=True)
    }
    return make_plate(inputs={**inputs, "outline_offset": "8 mm", **changes})


WINDOW = ("window", "x", "y", "diameter")


def test_windows_and_the_wider_outline_stand_in_both_files_mirrored_and_on_the_sheets(fitter):
    sheet = plate_with_windows()
    straight, mirrored = (dxf_of(fitter, sheet, side) for side in ("gearbox", "engine"))
    for document, sign in ((straight, 1), (mirrored, -1)):
        (starter,) = (c for c in document.modelspace().query("CIRCLE") if c.dxf.layer == "WINDOW" and c.dxf.center.x)
        assert (starter.dxf.center.x, starter.dxf.radius) == (pytest.approx(sign * -60), pytest.approx(25))
        lines = {line.dxf.layer: line for line in document.modelspace().query("LWPOLYLINE")}
        corners = {(round(x), round(y)) for x, y, *_ in lines["WINDOW"].get_points()}
        assert corners == {(sign * x, y) for x in (20, 70) for y in (-60, -30)}
        assert max(x for x, *_ in lines["OUTLINE"].get_points()) == pytest.approx(208)
    rows = [row for row in csv_of(fitter, sheet, "gearbox") if row["work"] == "WINDOW"]
    assert [row["hole"] for row in rows] == ["starter", *(f"exhaust corner {at}" for at in range(1, 5))]
    assert not [row for row in csv_of(fitter, sheet, "engine") if row["work"] == "WINDOW"]
    said = text_of(bytes(make_printed("plate-setup", sheet).pdf))
    assert "starter: round Ø50 ± 0.3 at x −60.00, y 120.00" in said
    assert "starter: round Ø50 ± 0.3 at x 60.00, y 120.00" in said
    assert "Smallest wall" in text_of(bytes(make_printed("template-engine", sheet).pdf))
    assert "cut window" in said


@pytest.mark.parametrize(
    ("inputs", "words"),
    [({"outline_offset": "-40 mm"}, "−8.5 mm to the edge"), ({"edge": "45 mm"}, "to the edge (at least 45 mm)")],
)
def test_a_hole_too_near_to_the_edge_or_over_it_stops_the_machinist(inputs, words):
    sheet = make_plate(inputs=inputs)
    for kind in ("plate-setup", "template-gearbox"):
        said = text_of(bytes(make_printed(kind, sheet).pdf))
        assert re.search(r"DO NOT CUT YET: [−\d.]+ mm to the edge", said)
        assert words in said


def test_a_face_whose_datum_is_still_at_a_dowel_stops_the_machinist():
    holes = [{"name": "D1", "x": 0.0, "y": 0.0, "diameter": 10.0, "kind": "dowel"}]
    holes += [
        {"name": f"B{x}", "x": x, "y": 160.0, "diameter": 11.0, "kind": "clearance", "bolt": "M10"}
        for x in (-40.0, 40.0)
    ]
    face = make_pattern(holes, component=make_component(kind="gearbox", name="T6"))
    said = text_of(bytes(make_printed("plate-setup", make_plate(inputs={"gearbox": face})).pdf))
    assert "DO NOT CUT YET: G-D1 lies on the datum" in said


def test_a_window_too_near_to_a_hole_stops_the_machinist():
    said = text_of(bytes(make_printed("plate-setup", plate_with_windows(ligament="26 mm")).pdf))
    assert re.search(r"DO NOT CUT YET: [\d.]+ mm beside a window", said)


def test_a_register_round_the_datum_is_bored_to_h7_on_the_set_up_sheet():
    """ISO 286-2: H7 of 180 mm is +0.040/0. An opening that nobody calls a register stays one to a general tolerance."""
    names = {"window": "register", "x": "0 mm", "y": "0 mm", "diameter": "180 mm"}
    plate = make_plate(inputs={f"windows.0.{name}": value for name, value in names.items()}, opening=False)
    said = " ".join(text_of(bytes(make_printed("plate-setup", plate).pdf)).split())
    assert "register: round Ø180 H7 +0.040/0 at x 0.00, y 0.00; REGISTER" in said
    assert "no register" in " ".join(text_of(bytes(make_printed("plate-setup", make_plate()).pdf)).split())


def test_the_outline_in_the_dxf_has_no_more_digits_than_the_readings_carry(fitter):
    plate = make_plate()
    face = plate.inputs.get(path="outline").pattern
    face.outline = [[x + 0.123456, y] for x, y in face.outline]
    face.save()
    face.holes.exclude(kind="dowel").update(uncertainty=0.4)
    lines = {line.dxf.layer: line for line in dxf_of(fitter, plate, "gearbox").modelspace().query("LWPOLYLINE")}
    (outline,) = lines.values()
    assert {round(x, 1) for x, *_ in outline.get_points()} == {x for x, *_ in outline.get_points()} == {-199.9, 200.1}
