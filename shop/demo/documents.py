"""Documents that the demo keeps: a supplier's price list, and a drawing of a face; each is drawn by the demo itself."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import TYPE_CHECKING

from reportlab.lib.pagesizes import A4
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from shop.attachments.changes import attach
from shop.demo.orders import QUARRY_LANE
from shop.demo.stock import PARTS
from shop.measuring.pattern_drawing import pattern_drawing
from shop.orders.models import Supplier
from shop.print.fonts import BODY, BOLD, register
from specs.drawings import pdf
from specs.models import HolePattern

if TYPE_CHECKING:
    from shop.demo.world import World

LEFT, TOP = 25 * mm, A4[1] - 30 * mm
STEP = 7 * mm


def make(world: World) -> None:
    """Keep a price list with a supplier, and with a component the drawing of its face."""
    wren, tibor = world.people["wren"], world.people["tibor"]
    seller = Supplier.objects.get(name=QUARRY_LANE.name)
    attach(seller, paper="price list", name="quarry-lane-prices.pdf", content=_paper(_prices), person=wren)
    pattern = HolePattern.objects.active().select_related("component").order_by("pk")[0]
    face = _paper(lambda canvas: _face(canvas, pattern))
    note = "as measured; not to cut from"
    attach(pattern.component, paper="drawing", name="face.pdf", content=face, person=tibor, note=note)


def _paper(draw: Callable[[Canvas], None]) -> bytes:
    register()
    held = io.BytesIO()
    canvas = Canvas(held, pagesize=A4, invariant=1)
    draw(canvas)
    canvas.save()
    return held.getvalue()


def _prices(canvas: Canvas) -> None:
    canvas.setFont(BOLD, 14)
    canvas.drawString(LEFT, TOP, f"{QUARRY_LANE.name}: price list")
    canvas.setFont(BODY, 10)
    numbers = {name: number for name, seller, number, *_ in PARTS if seller == QUARRY_LANE.name}
    for at, (name, price, *_) in enumerate(QUARRY_LANE.parts, 2):
        canvas.drawString(LEFT, TOP - at * STEP, f"{numbers.get(name, '')}  {name}")
        canvas.drawRightString(A4[0] - LEFT, TOP - at * STEP, f"EUR {price}")
    canvas.drawString(LEFT, TOP - (len(QUARRY_LANE.parts) + 3) * STEP, "Each, without tax.")


def _face(canvas: Canvas, pattern: HolePattern) -> None:
    holes = list(pattern.holes.all())
    drawing = pattern_drawing(str(pattern), holes, pattern.outline, pattern.get_seen_from_display())
    width, height = A4[0] - 2 * LEFT, A4[1] - 90 * mm
    canvas.setFont(BOLD, 14)
    canvas.drawString(LEFT, TOP, str(pattern))
    pdf.draw(canvas, drawing, x=LEFT, y=40 * mm, scale=pdf.fit(drawing, width, height), font=BODY)
