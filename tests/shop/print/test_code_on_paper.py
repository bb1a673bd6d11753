"""The code on a sheet is read back by a decoder that is not ours, from paper that went through a workshop.

ISO/IEC 18004: level H restores about 30 % of the code words.
"""

import io
import shutil
import subprocess
from math import ceil

import numpy as np
import pytest
import zxingcpp
from PIL import Image, ImageDraw, ImageFilter
from reportlab.lib.units import mm

from shop.print.sheet_frame import BLOCK, LATER_BLOCK
from shop.print.styles import BOTTOM, LEFT, WIDTH
from tests.factories.jobs import make_job, make_step
from tests.factories.print import make_printed
from tests.pdfs import reader

DPI = 300
MODULES = 41 + 8  # version 6 and its quiet zone
PIXELS = DPI / 72


def scanned(pdf, tmp_path, page=1):
    """A page as a scanner at 300 dpi sees it."""
    if shutil.which("pdftoppm") is None:
        pytest.skip("pdftoppm (poppler-utils) is not installed")
    (tmp_path / "sheet.pdf").write_bytes(pdf)
    command = ["pdftoppm", "-r", str(DPI), "-gray", "-png", "-f", str(page), "-l", str(page), tmp_path / "sheet.pdf"]
    return Image.open(io.BytesIO(subprocess.run(command, check=True, capture_output=True).stdout)).convert("L")


def code_of(image, side):
    """The corner of the title block that holds the code."""
    right = image.height - round(BOTTOM * PIXELS)
    left = round((LEFT + WIDTH - side) * PIXELS)
    return image.crop((left, right - ceil(side * PIXELS), left + ceil(side * PIXELS), right))


def crumpled(code, seed, angle, spread=40):
    """A code turned, skewed, blurred, on grey paper, with noise of +-`spread` of 255 grey levels."""
    wide = Image.new("L", (code.width * 2, code.height * 2), 255)
    wide.paste(code, (code.width // 2, code.height // 2))
    skew = (1, 0.08, -0.08 * code.height, 0.05, 1, -0.05 * code.width)
    even = {"fillcolor": 255, "resample": Image.Resampling.BILINEAR}
    bent = wide.rotate(angle, **even).transform(wide.size, Image.Transform.AFFINE, skew, **even)
    grey = np.asarray(bent.filter(ImageFilter.GaussianBlur(1.0))) * 0.75 + 40
    noise = np.random.default_rng(seed).integers(-spread, spread + 1, grey.shape)
    return Image.fromarray(np.clip(grey + noise, 0, 255).astype("uint8"))


def covered(code, grey, share=0.25):
    """A code with a share of its modules under a thumb: the corner that has no finder pattern."""
    held, quiet = code.copy(), 4 * code.width / MODULES
    edge = round((code.width - 2 * quiet) * share**0.5)
    from_edge = code.width - quiet - edge
    ImageDraw.Draw(held).rectangle((from_edge, from_edge, code.width, code.height), fill=grey)
    return held


def read(image):
    return [found.text for found in zxingcpp.read_barcodes(image)]


@pytest.fixture
def sheet(db):
    job = make_job()
    for _ in range(40):
        make_step(job=job, text="A line of work. " * 20)
    return make_printed("job-card", job)


def test_the_code_of_every_sheet_reads_as_its_address(sheet, tmp_path):
    pdf = bytes(sheet.pdf)
    for page in range(1, len(reader(pdf).pages) + 1):
        code = code_of(scanned(pdf, tmp_path, page), BLOCK if page == 1 else LATER_BLOCK)
        assert read(code) == [f"https://shop.example/s/{sheet.number}/"]


ANGLES = (0, 7, -12, 90)


def test_it_is_read_off_crumpled_paper_with_a_sixth_covered(sheet, tmp_path):
    code = covered(code_of(scanned(bytes(sheet.pdf), tmp_path), BLOCK), 90, share=1 / 6)
    for at, angle in enumerate(ANGLES):
        assert read(crumpled(code, at, angle)) == [f"https://shop.example/s/{sheet.number}/"], angle


def test_with_a_quarter_covered_a_phone_reads_it_within_a_moment(sheet, tmp_path):
    # A quarter is all that level H restores: about two frames in three are read, and a phone takes many a second.
    code = covered(code_of(scanned(bytes(sheet.pdf), tmp_path), BLOCK), 90)
    for angle in ANGLES:
        frames = (read(crumpled(code, frame, angle)) for frame in range(10))
        assert [f"https://shop.example/s/{sheet.number}/"] in frames, angle


def test_a_module_is_large_enough_for_a_phone():
    # ISO/IEC 18004 leaves the size open; 0.5 mm a module is common practice for phones, no source.
    assert BLOCK / mm / MODULES >= 0.5
