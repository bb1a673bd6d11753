"""What a plate's papers and files forbid, they forbid as strongly in another language, in the same places."""

from __future__ import annotations

import io
from collections.abc import Callable

import ezdxf
import pytest
from django.test import Client

from shop.worksheets.models import Worksheet
from tests.factories.measuring import make_component, make_pattern
from tests.factories.plate import accept, make_left_out, make_plate
from tests.factories.print import make_printed
from tests.pdfs import bold_and_plain
from tests.pseudo import in_pseudo, is_said, loud, pseudo

pytestmark = pytest.mark.django_db

KINDS = ("plate-setup", "plate-drawing", "template-engine", "template-gearbox")


def off_datum() -> Worksheet:
    holes = [{"name": "D1", "x": 0.0, "y": 0.0, "diameter": 10.0, "kind": "dowel"}]
    for x in (-40.0, 40.0):
        holes.append({"name": f"B{x}", "x": x, "y": 160.0, "diameter": 11.0, "kind": "clearance", "bolt": "M10"})
    return make_plate(inputs={"gearbox": make_pattern(holes, component=make_component(kind="gearbox", name="T6"))})


def placed_roughly() -> Worksheet:
    rough = {"diameter": 12.0, "kind": "dowel", "uncertainty": 0.05}
    holes = [{"name": "D1", "x": -150.0, "y": 20.0, **rough}, {"name": "D2", "x": 150.0, "y": 20.0, **rough}]
    holes.append({"name": "B1", "x": 120.0, "y": 110.0, "diameter": 10.0, "kind": "tapped", "thread": "M10"})
    face = make_pattern(holes, component=make_component(kind="engine", name="Rough"))
    sheet = make_plate(inputs={"engine": face})
    for hole in ("D1", "D2"):
        make_left_out(sheet, side="gearbox", hole=hole, kind="assembly")
    return sheet


def with_a_hole_left_out() -> Worksheet:
    sheet = make_plate()
    make_left_out(sheet)
    return sheet


PLATES: dict[str, Callable[[], Worksheet]] = {
    "accepted": lambda: accept(make_plate()),
    "not accepted": make_plate,
    "too thin": lambda: accept(make_plate(inputs={"ligament": "60 mm"})),
    "off the datum": off_datum,
    "dowels in doubt": placed_roughly,
    "a hole left out": with_a_hole_left_out,
}
EVERY = pytest.mark.parametrize("plate", PLATES)


@EVERY
@pytest.mark.parametrize("kind", KINDS)
def test_paper_says_the_same_in_capitals_with_the_same_weight(plate: str, kind: str) -> None:
    sheet = PLATES[plate]()
    told = _loud(kind, sheet)
    with in_pseudo():
        said = _loud(kind, sheet)
    assert said[0] == told[0]
    assert is_said(told[1], said[1])


def _loud(kind: str, sheet: Worksheet) -> tuple[bool, list[tuple[str, bool]]]:
    """Whether every page has NOT TO BE CUT across it, and the words in capitals besides."""
    pages = [loud(page) for page in bold_and_plain(bytes(make_printed(kind, sheet).pdf))]
    across = [(word, True) for word in ("NOT", "TO", "BE", "CUT")]
    struck = all(is_said(across, page[:4]) for page in pages)
    return struck, [word for page in pages for word in page[4 * struck :]]


def test_the_papers_that_have_words_across_them_are_those_of_a_plate_that_may_not_be_cut() -> None:
    assert [_loud("template-engine", PLATES[plate]())[0] for plate in ("accepted", "too thin")] == [False, True]


@EVERY
def test_a_file_for_the_machine_has_the_same_layers_and_operations(plate: str, fitter: Client) -> None:
    sheet = PLATES[plate]()
    for side in ("engine", "gearbox"):
        told = _drawing_of(fitter, sheet, side)
        told_rows = _operations_of(fitter, sheet, side)
        with in_pseudo():
            said = _drawing_of(fitter, sheet, side)
            assert _operations_of(fitter, sheet, side) == told_rows
        assert said[0] == told[0]
        assert len(said[1]) == len(told[1])
        for text in told[1]:
            assert text in said[1] or pseudo(text) in said[1] or text.startswith("W")
        assert (pseudo("NOT TO BE CUT") in said[1]) == ("NOT TO BE CUT" in told[1])


def _drawing_of(client: Client, sheet: Worksheet, side: str) -> tuple[set[str], list[str]]:
    """Layers, and texts."""
    answer = client.get(f"/print/{sheet.pk}/{side}.dxf").content.decode()
    entities = list(ezdxf.read(io.StringIO(answer)).modelspace())
    return {one.dxf.layer for one in entities}, [one.dxf.text for one in entities if one.dxftype() == "TEXT"]


def _operations_of(client: Client, sheet: Worksheet, side: str) -> list[list[str]] | int:
    """Side, hole, place, work and diameter of each row, in order; the refusal where there is none."""
    answer = client.get(f"/print/{sheet.pk}/{side}.csv")
    if answer.status_code != 200:
        return answer.status_code
    return [line.split(",")[:6] for line in answer.content.decode().splitlines()]
