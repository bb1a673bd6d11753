"""A job and a plate that no layout was drawn for: long names, five scripts, 60 steps, 40 torques, 30 bolts each."""

from __future__ import annotations

from math import cos, sin, tau

from django.utils import timezone

from shop.jobs.models import Job, Step
from shop.worksheets.models import Worksheet
from specs.models import HolePattern
from tests.factories.jobs import (
    make_decision,
    make_job,
    make_job_torque,
    make_lesson,
    make_part_need,
    make_regulated_item,
    make_step,
    make_step_need,
)
from tests.factories.measuring import make_component, make_pattern, make_torque_spec
from tests.factories.people import make_person
from tests.factories.plate import OPENING, SURE
from tests.factories.vehicles import make_customer, make_vehicle
from tests.factories.worksheets import make_worksheet

SCRIPTS = (
    "Снять коробку передач и сцепление",
    "変速機とクラッチを外す",
    "הסרת תיבת ההילוכים והמצמד",
    "إزالة علبة التروس والقابض",
    "Getriebe­ausbau, λειτουργία, łożysko, Đặng",
)
LONG = "Bellhousing-to-adapter-plate-to-cylinder-block-rear-face-upper-and-lower-row"
BOLTS = 30


def hostile_component(letter: str = "B"):
    """A component with 30 holes on an uneven circle, named as long as holes are named in practice."""
    component = make_component(maker="Łódź Überlandgetriebe Teskel", name=f"QZ-5 {LONG}"[:80], kind="gearbox")
    rows = []
    for at in range(BOLTS):
        angle, radius = tau * (at + 0.3 * sin(at)) / BOLTS, 190 + 12 * cos(3 * at)
        x, y = round(radius * cos(angle), 3), round(radius * sin(angle), 3)
        rows.append({"name": f"{letter}-M10-{at + 1}", "x": x, "y": y, "diameter": 11.0, "bolt": "M10"})
    make_pattern([{"kind": "clearance", **row} for row in rows], component=component, seen_from="engine")
    return component


def hostile_job() -> Job:
    """The job, a third of it done, with a torque in most of the steps that are left."""
    customer = make_customer(name=f"{SCRIPTS[2]} & {LONG}")
    vehicle = make_vehicle(maker="Brightwell " + SCRIPTS[0], model=LONG, registration="KX 471-B", customer=customer)
    job = make_job(vehicle=vehicle, title=f"{SCRIPTS[1]}: {LONG}", asked_for=" ".join(SCRIPTS) + "\n- tows 1.4 t")
    component, fitter = hostile_component(), make_person(username="ama", first_name="Ama", roles=["fitter"])
    steps: list[Step] = []
    for at in range(60):
        script = SCRIPTS[at % len(SCRIPTS)]
        text = f"{script}. " * 6 + "\n- first\n- **second**"
        step = make_step(job=job, title=f"{script} {at + 1}: {LONG}"[:120], text=text, cautions=f"{script}! " * 3)
        if at < 20:
            step.finished_at, step.finished_by = timezone.now(), fitter
            step.save()
        elif at > 22:
            make_step_need(step, steps[at - 1])
        steps.append(step)
    for at in range(40):
        place = f"{LONG} {at + 1}"
        figure = {"published_torque": 45.0, "published_typed": "45 N·m", "published_source": "Manual, p. 9"}
        spec = make_torque_spec(component=component, place=place, count=BOLTS, **figure)
        make_job_torque(step=steps[20 + at], torque_spec=spec)
    make_part_need(step=steps[21], text=f"{SCRIPTS[3]} {LONG}")
    make_regulated_item(job=job, what=f"{SCRIPTS[0]} {LONG}")
    make_decision(job=job, question=f"{SCRIPTS[1]}? {LONG}?")
    make_lesson(title=LONG, text=SCRIPTS[2]).components.add(component)
    return job


def hostile_plate(job: Job) -> Worksheet:
    """A plate between two faces of 30 bolts and two dowels each, named at length in two scripts."""
    engine = _face(
        "engine", SCRIPTS[0], 235.0, {"kind": "tapped", "diameter": 8.5, "thread": "M10"}, outline=_ring(270.0)
    )
    gearbox = _face("gearbox", SCRIPTS[1], 195.0, {"kind": "clearance", "diameter": 11.0, "bolt": "M10"})
    given = {"engine": engine, "gearbox": gearbox, "outline": engine, "thickness": "20 mm"}
    given |= {"ligament": "5 mm", "edge": "5 mm", **{f"windows.0.{name}": value for name, value in OPENING.items()}}
    sheet = make_worksheet(inputs=given, calculation="plate-layout", title=f"{SCRIPTS[3]} {LONG}"[:120])
    job.worksheets.add(sheet)
    return sheet


def _ring(radius: float, corners: int = 36) -> list[list[float]]:
    return [[round(radius * f(tau * at / corners), 3) for f in (cos, sin)] for at in range(corners)]


def _face(kind: str, script: str, radius: float, bolt: dict[str, object], **given: object) -> HolePattern:
    places = _ring(radius, BOLTS)
    rows = [{"name": f"{LONG[:14]}-{at + 1}", "x": x, "y": y, **bolt} for at, (x, y) in enumerate(places)]
    turn = 0.4 if kind == "engine" else 1.2
    rows += [
        {
            "name": name,
            "x": side * 150 * cos(turn),
            "y": side * 150 * sin(turn),
            "diameter": 12.0,
            "kind": "dowel",
            **SURE,
        }
        for name, side in (("D-left", -1), ("D-right", 1))
    ]
    component = make_component(kind=kind, maker=f"Brightwell {script}"[:60], name=f"{kind} {LONG}"[:80])
    return make_pattern(rows, component=component, seen_from=kind, **given)
