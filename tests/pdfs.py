"""Reading PDFs back: their text, pages and sizes."""

from __future__ import annotations

import io

from pypdf import PdfReader


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def text_of(pdf: bytes) -> str:
    """All text, line ends as spaces: where a line breaks is the layout's affair."""
    return " ".join(" ".join(page.extract_text().split()) for page in reader(pdf).pages)


def sizes_of(pdf: bytes) -> list[tuple[int, int]]:
    """Width and height of each page in whole points."""
    return [(round(page.mediabox.width), round(page.mediabox.height)) for page in reader(pdf).pages]
