import io
import subprocess

import numpy
import pytest
from PIL import Image
from pypdf import PdfReader
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from specs.drawings import pdf
from specs.drawings.primitives import Arc, Circle, Drawing, Extent, Line, Polyline, Role, Text, Tone

DOTS = 254  # a dot is 0.1 mm


def paper(drawing, x=0.0, y=0.0, scale=1.0, size=(100, 60)):
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(size[0] * mm, size[1] * mm))
    pdf.draw(canvas, drawing, x=x * mm, y=y * mm, scale=scale, font="Helvetica")
    canvas.save()
    return stream.getvalue()


def raster(data, tmp_path):
    (tmp_path / "page.pdf").write_bytes(data)
    command = ["pdftoppm", "-r", str(DOTS), "-gray", "-singlefile", tmp_path / "page.pdf", tmp_path / "page"]
    subprocess.run(command, check=True, timeout=60)
    return numpy.asarray(Image.open(tmp_path / "page.pgm"))


def inked(image):
    """Left, bottom, right, top of everything dark [mm on paper]."""
    rows, columns = numpy.nonzero(image < 128)
    height = image.shape[0]
    return columns.min() / 10, (height - 1 - rows.max()) / 10, columns.max() / 10, (height - 1 - rows.min()) / 10


def test_a_shape_stands_at_its_place_and_size(tmp_path):
    box = Polyline(((10, 10), (50, 10), (50, 40), (10, 40)), closed=True)
    image = raster(paper(Drawing("T", "D", [box], Extent(0, 0, 100, 60))), tmp_path)

    # Edges reach half a wide line (0.25 mm) beyond the outline.
    assert inked(image) == pytest.approx((9.75, 9.75, 50.25, 40.25), abs=0.15)


def test_scale_and_place_move_the_shape_but_not_the_line_width(tmp_path):
    drawing = Drawing("T", "D", [Circle((0, 0), 40)], Extent(-40, -40, 40, 40))
    image = raster(paper(drawing, x=10, y=5, scale=0.5), tmp_path)

    assert inked(image) == pytest.approx((9.75, 4.75, 50.25, 45.25), abs=0.15)


def test_an_arc_turns_counter_clockwise(tmp_path):
    drawing = Drawing("T", "D", [Arc((50, 30), 20, 0, 90)], Extent(0, 0, 100, 60))

    assert inked(raster(paper(drawing), tmp_path)) == pytest.approx((50, 30, 70.25, 50.25), abs=0.2)


def test_dashed_lines_have_gaps_and_filled_areas_a_tone(tmp_path):
    items = [
        Line((5, 10), (95, 10), role=Role.LIMIT),
        Polyline(((2, 50), (98, 50), (98, 55))),
        Polyline(((5, 20), (95, 20), (95, 40), (5, 40)), closed=True, fill=Tone.METAL),
    ]
    image = raster(paper(Drawing("T", "D", items, Extent(0, 0, 100, 60))), tmp_path)

    assert 0.5 < (image[-101, 60:940] < 200).mean() < 0.9
    assert 220 < image[300, 500] < 240


def test_words_can_be_read_back_with_a_sign_for_the_diameter_that_the_face_has():
    items = [Text((50, 30), "⌀ 8.5 drill", anchor="middle"), Text((5, 5), "up\x07here", anchor="end", rotation=90)]
    read = PdfReader(io.BytesIO(paper(Drawing("T", "D", items, Extent(0, 0, 100, 60))))).pages[0].extract_text()

    assert "Ø 8.5 drill" in read
    assert "\x07" not in read


@pytest.mark.parametrize(("rotation", "line"), [(0, Line((10, 31.5), (90, 31.5))), (90, Line((48.5, 5), (48.5, 55)))])
def test_a_line_is_interrupted_where_words_stand(rotation, line, tmp_path):
    slanted = Polyline(((0, 0), (40, 8), (5, 5)), closed=True)
    words = Text((50, 30), "iiiiiiiiii", 3, "middle", rotation)
    image = raster(paper(Drawing("T", "D", [line, slanted, words], Extent(0, 0, 100, 60))), tmp_path)
    along = image[-316, 100:900] if rotation == 0 else image[50:550, 485]

    gaps = numpy.diff(numpy.flatnonzero(along < 128))
    assert gaps.max() > 5


def test_fit_is_the_larger_scale_that_stays_inside():
    drawing = Drawing("T", "D", [], Extent(0, 0, 200, 100))

    assert pdf.fit(drawing, 100 * mm, 100 * mm) == pytest.approx(0.5)
    assert pdf.fit(drawing, 400 * mm, 100 * mm) == pytest.approx(1.0)
