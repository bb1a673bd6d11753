"""How print looks: sizes to be read at arm's length, black on white."""

from __future__ import annotations

from functools import cache
from typing import Any

from reportlab.lib.colors import black
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import A3, A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm

from shop.print.fonts import BODY, BOLD, register

PAPERS = {"A4": A4, "Letter": LETTER, "A3": A3}
LEFT, RIGHT, TOP, BOTTOM = 20 * mm, 10 * mm, 11 * mm, 10 * mm
WIDTH = 180 * mm  # the width that ISO 7200 gives a title block; Letter leaves a little more margin
RULE, HAIR = 0.7, 0.35


@cache
def style(name: str) -> ParagraphStyle:
    """A style by name: body, small, cell, strong, dense, dense-strong, dense-number, figure, number, title, heading,
    subheading, section, caution, huge and large for a torque, and those of letters."""
    register()
    size, face, extra = _STYLES[name]
    return ParagraphStyle(
        name,
        fontName=face,
        fontSize=size,
        textColor=black,
        splitLongWords=1,
        **{"leading": round(size * 1.27, 1), **extra},
    )


_STYLES: dict[str, tuple[float, str, dict[str, Any]]] = {
    "body": (10, BODY, {"spaceAfter": 4}),
    "small": (8.5, BODY, {}),
    "cell": (9.5, BODY, {}),
    "strong": (9.5, BOLD, {}),
    "dense": (8.2, BODY, {"leading": 9.0}),
    "dense-strong": (8.2, BOLD, {"leading": 9.0}),
    "dense-number": (8.2, BODY, {"leading": 9.0, "alignment": TA_RIGHT}),
    "section": (10.5, BOLD, {"spaceBefore": 4, "spaceAfter": 1.5}),
    "figure": (12, BOLD, {}),
    "number": (9.5, BODY, {"alignment": TA_RIGHT}),
    "title": (17, BOLD, {"spaceAfter": 4}),
    "heading": (12.5, BOLD, {"spaceBefore": 6, "spaceAfter": 3}),
    "subheading": (10.5, BOLD, {"spaceBefore": 6, "spaceAfter": 2}),
    "caution": (10, BOLD, {"spaceAfter": 2}),
    "huge": (32, BOLD, {"spaceAfter": 3}),
    "large": (22, BOLD, {"spaceAfter": 3}),
    "subject": (12, BOLD, {}),
    "letter": (10.5, BODY, {}),
    "letter-cell": (10, BODY, {}),
    "letter-cell-right": (10, BODY, {"alignment": TA_RIGHT}),
    "letter-head": (8, BODY, {}),
    "letter-head-right": (8, BODY, {"alignment": TA_RIGHT}),
}
