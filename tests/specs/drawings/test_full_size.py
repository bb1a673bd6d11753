import io
import subprocess

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from pypdf import PdfReader

from specs.drawings.full_size import MARGIN, OVERLAP, PAPERS, sheets, write
from specs.drawings.primitives import Circle, Drawing, Extent, Line, Polyline, Stroke

DOTS = 508  # a dot is 0.05 mm


def plate(size=400.0):
    box = ((0.0, 0.0), (size, 0.0), (size, size), (0.0, size))
    return Drawing("Adapter plate", "", [Polyline(box, closed=True), Circle((size / 2, size / 2), 40)])


def page(data, number, tmp_path):
    (tmp_path / "sheet.pdf").write_bytes(data)
    command = ["pdftoppm", "-r", str(DOTS), "-gray", "-f", str(number), "-l", str(number), "-singlefile"]
    subprocess.run([*command, tmp_path / "sheet.pdf", tmp_path / "sheet"], check=True, timeout=120)
    return numpy.asarray(Image.open(tmp_path / "sheet.pgm"))


def at(line):
    """Middles of the dark stretches along a line of dots [mm]."""
    dark = numpy.flatnonzero(line < 128)
    stretches = numpy.split(dark, numpy.flatnonzero(numpy.diff(dark) > 1) + 1)
    return [(float(s[0]) + float(s[-1]) + 1) / 2 * 25.4 / DOTS for s in stretches]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_both_check_bars_measure_100_mm(paper, tmp_path):
    image = page(write(plate(), paper, font="Helvetica"), 1, tmp_path)
    mm = DOTS / 25.4

    # Across both end ticks, just above the bar itself.
    across = at(image[int(image.shape[0] - (MARGIN / 2 + 1) * mm), int((MARGIN - 2) * mm) :])
    up = at(image[::-1][int((MARGIN - 2) * mm) :, int((MARGIN / 2 + 1) * mm)])
    for first, second in (across, up):
        assert second - first == pytest.approx(100, abs=0.1)


def test_a_drawn_length_is_true_to_a_tenth_in_a_hundred(tmp_path):
    lines = [Line((x, 0), (x, 150), stroke=Stroke.NARROW) for x in (20.0, 120.0)]
    image = page(write(Drawing("T", "", lines, Extent(0, 0, 150, 150)), "A4", font="Helvetica"), 1, tmp_path)
    row = image[int((297 - MARGIN - 200) * DOTS / 25.4)]

    found = [x for x in at(row) if MARGIN + 1 < x < 210 - MARGIN - 1]
    assert found == pytest.approx([MARGIN + 20, MARGIN + 120], abs=0.05)


def test_sheets_are_full_size_and_say_so():
    reader = PdfReader(io.BytesIO(write(plate(), "A4", font="Helvetica", note="revision 3")))
    words = reader.pages[0].extract_text()

    assert len(reader.pages) == 3 * 2
    assert [float(side) * 25.4 / 72 for side in reader.pages[0].mediabox[2:]] == pytest.approx([210, 297], abs=0.01)
    assert reader.viewer_preferences.print_scaling == "/None"
    assert "Print at 100 %" in words
    assert "Adapter plate" in words
    assert "revision 3" in words
    assert "sheet A1 of 2 × 3" in words


def test_the_same_drawing_gives_the_same_bytes():
    assert write(plate(), "A4", font="Helvetica") == write(plate(), "A4", font="Helvetica")


@given(st.floats(1, 1500), st.floats(1, 1500), st.sampled_from(sorted(PAPERS)))
def test_sheets_cover_everything_and_neighbours_overlap(width, height, paper):
    bounds = Extent(-50, 20, -50 + width, 20 + height)
    found = sheets(bounds, PAPERS[paper])

    assert min(s.window.left for s in found) <= bounds.left
    assert max(s.window.right for s in found) >= bounds.right - 1e-6
    assert min(s.window.bottom for s in found) <= bounds.bottom + 1e-6
    assert max(s.window.top for s in found) >= bounds.top
    by_place = {(s.row, s.column): s.window for s in found}
    for (row, column), window in by_place.items():
        if (row, column + 1) in by_place:
            assert window.right - by_place[row, column + 1].left == pytest.approx(OVERLAP)
        if (row + 1, column) in by_place:
            assert by_place[row + 1, column].top - window.bottom == pytest.approx(OVERLAP)


def test_joining_marks_of_neighbours_lie_on_one_another():
    first, second = sheets(Extent(0, 0, 300, 100), PAPERS["A4"])

    assert first.window.right - OVERLAP / 2 == pytest.approx(second.window.left + OVERLAP / 2)
    assert (first.name, second.name) == ("A1", "A2")


def test_paper_lies_across_where_that_takes_fewer_sheets():
    wide = Drawing("T", "", [Line((0, 0), (240, 0))], Extent(0, 0, 240, 100))
    reader = PdfReader(io.BytesIO(write(wide, "A4", font="Helvetica")))

    assert len(reader.pages) == 1
    assert float(reader.pages[0].mediabox.width) > float(reader.pages[0].mediabox.height)
