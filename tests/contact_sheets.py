"""Pictures of pages set side by side, eight a sheet: ``python -m tests.contact_sheets FOLDER``.

Reads every ``WIDTH-SCHEME-NAME.png`` of a folder, which ``tests/browser/test_every_page.py`` writes, and makes
``sheet-WIDTH-SCHEME-NUMBER.png`` beside them. Of a long page its beginning is shown.
"""

import sys
from itertools import groupby
from pathlib import Path

from PIL import Image, ImageDraw

CELL = {"1440": (515, 480, 3), "390": (195, 1000, 8)}


def make_sheets(folder: Path) -> list[Path]:
    """Make the sheets of a folder of pictures."""
    pictures = sorted(file for file in folder.glob("*.png") if file.stem.split("-")[0] in CELL)
    return [
        make_sheet(folder / f"sheet-{'-'.join(dress)}-{number:02}.png", CELL[dress[0]], of)
        for dress, alike in groupby(pictures, key=lambda file: file.stem.split("-")[:2])
        for number, of in enumerate(by_eights(list(alike)), start=1)
    ]


def by_eights(pictures: list[Path]) -> list[list[Path]]:
    return [pictures[at : at + 8] for at in range(0, len(pictures), 8)]


def make_sheet(file: Path, cell: tuple[int, int, int], pictures: list[Path]) -> Path:
    """Set up to eight pictures in rows, each under its name."""
    width, height, in_row = cell
    rows = -(-len(pictures) // in_row)
    sheet = Image.new("RGB", (in_row * (width + 10), rows * (height + 30)), "#777")
    for at, picture in enumerate(pictures):
        left, top = at % in_row * (width + 10), at // in_row * (height + 30)
        with Image.open(picture) as page:
            page = page.convert("RGB")
            scale = width / page.width
            page = page.crop((0, 0, page.width, min(page.height, int(height / scale))))
            sheet.paste(page.resize((width, int(page.height * scale))), (left, top + 22))
        ImageDraw.Draw(sheet).text((left + 4, top + 5), picture.stem.split("-", 2)[2], fill="white")
    sheet.save(file)
    return file


if __name__ == "__main__":
    print(f"{len(make_sheets(Path(sys.argv[1])))} sheets")
