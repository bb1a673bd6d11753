"""A plate between two measured faces, as the worksheet that lays it out."""

from __future__ import annotations

from typing import Any

from django.utils import timezone

from shop.plate.models import OmittedHole
from shop.worksheets.changes import accept_worksheet
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import Worksheet
from specs.models import Component
from tests.factories.measuring import make_pattern
from tests.factories.people import make_person
from tests.factories.worksheets import make_worksheet

OPENING = {"window": "crank and clutch", "x": "0", "y": "0", "diameter": "60"}
# What dowels must be placed to for both pins of a face to go in.
SURE = {"uncertainty": 0.003}
CORNERS = [[-200.0, -180.0], [200.0, -180.0], [200.0, 190.0], [-200.0, 190.0]]


def _component(**named: str) -> Component:
    return Component.objects.get_or_create(**named)[0]


def make_plate(**changes: Any) -> Worksheet:
    """An engine's block with tapped holes and a gearbox with clearance holes, ten holes in all, in a square outline."""
    engine = make_pattern(
        [
            {"name": "D1", "x": -150.0, "y": 0.0, "diameter": 12.0, "kind": "dowel", **SURE},
            {"name": "D2", "x": 150.0, "y": 0.0, "diameter": 12.0, "kind": "dowel", **SURE},
            {"name": "B1", "x": 120.0, "y": 110.0, "diameter": 10.0, "kind": "tapped", "thread": "M10"},
            {"name": "B2", "x": -100.0, "y": 125.0, "diameter": 10.0, "kind": "tapped", "thread": "M10"},
            {"name": "B3", "x": 30.0, "y": -140.0, "diameter": 10.0, "kind": "tapped", "thread": "M10"},
        ],
        component=_component(kind="engine", maker="Orvane", name="V6"),
        face="rear face",
        outline=CORNERS,
    )
    gearbox = make_pattern(
        [
            {"name": "D1", "x": -100.0, "y": 60.0, "diameter": 10.0, "kind": "dowel", **SURE},
            {"name": "D2", "x": 100.0, "y": -60.0, "diameter": 10.0, "kind": "dowel", **SURE},
            {"name": "B1", "x": 0.0, "y": 150.0, "diameter": 13.5, "kind": "clearance", "bolt": "M12"},
            {"name": "B2", "x": -140.0, "y": -90.0, "diameter": 13.5, "kind": "clearance", "bolt": "M12"},
            {"name": "B3", "x": 130.0, "y": -110.0, "diameter": 13.5, "kind": "clearance", "bolt": "M12"},
        ],
        component=_component(kind="gearbox", maker="Teskel", name="QZ-5"),
        seen_from=changes.pop("gearbox_seen_from", "gearbox"),
    )
    walls = {"ligament": "5 mm", "edge": "5 mm"}
    given = {"engine": engine, "gearbox": gearbox, "outline": engine, "thickness": "20 mm", **walls}
    inputs = {**given, **changes.pop("inputs", {})}
    if changes.pop("opening", True):
        # Behind the windows of the test itself, which start at 0.
        at = sum(path.endswith(".window") for path in inputs)
        inputs |= {f"windows.{at}.{name}": value for name, value in OPENING.items()}
    return make_worksheet(inputs=inputs, calculation="plate-layout", title="Plate V6 to QZ-5", **changes)


def accept(sheet: Worksheet) -> Worksheet:
    """Accept a plate as it stands."""
    person = make_person(roles=["machinist"])
    accept_worksheet(sheet, token=worksheet_state(sheet).token, person=person, now=timezone.now(), note="as it stands")
    return sheet


def make_left_out(worksheet: Worksheet, **changes: Any) -> OmittedHole:
    """A hole of the engine that a plate leaves out."""
    person = changes.pop("person", None) or make_person()
    usual = {
        "side": "engine",
        "hole": "B3",
        "kind": "no access",
        "reason": "behind the starter",
        "at": timezone.now(),
    }
    return OmittedHole.objects.create(worksheet=worksheet, person=person, **{**usual, **changes})
