"""The torque sheets of a job: a figure only where one is approved, the measured holes or none, boxes to sign."""

from datetime import date

import pytest
from django.utils import timezone
from reportlab.lib.units import mm

from shop.print import torque_story
from shop.print.torque_drawing import torque_drawing
from shop.print.torque_holes import hole_plans
from tests.factories.jobs import make_job_torque, make_step
from tests.factories.measuring import make_component, make_pattern, make_torque_spec
from tests.factories.print import make_printed
from tests.pdfs import reader, text_of

pytestmark = pytest.mark.django_db

FIGURE = {"published_torque": 45.0, "published_typed": "45 N·m", "published_source": "Orvane manual, p. 9"}
# Four holes that are no even circle, and one of another thread.
HOLES = [
    {"name": "A", "x": 0.0, "y": 100.0},
    {"name": "B", "x": 90.0, "y": 20.0},
    {"name": "C", "x": 15.0, "y": -80.0},
    {"name": "D", "x": -70.0, "y": 5.0},
    {"name": "X", "x": 50.0, "y": 50.0, "bolt": "M8"},
]


def holes(rows=HOLES):
    return [{"diameter": 11.0, "kind": "clearance", "bolt": "M10", **row} for row in rows]


@pytest.fixture
def component():
    return make_component(maker="Teskel", name="QZ-5")


def make_spec(component, **changes):
    return make_torque_spec(**{"component": component, "count": 4, **FIGURE, **changes})


def sheets_of(spec, step=None, **changes):
    step = step or make_step()
    make_job_torque(step=step, torque_spec=spec)
    return bytes(make_printed("torque-sheets", step.job, **changes).pdf)


def plan_of(spec):
    return hole_plans([spec])[spec.pk]


def top_of(spec):
    return max(hole.y for hole in plan_of(spec).holes)


def test_the_holes_are_those_of_the_record_in_sequence_and_from_a_stated_side(component):
    make_pattern(holes(), component=component)
    plan = plan_of(make_spec(component))
    assert {(hole.name, hole.x, hole.y) for hole in plan.holes} == {
        ("A", 0.0, 100.0),
        ("B", 90.0, 20.0),
        ("C", 15.0, -80.0),
        ("D", -70.0, 5.0),
    }
    # Opposite in turn: the cross pattern of four, 1 - 3 - 2 - 4 (ASME PCC-1:2013, from memory).
    assert plan.sequence == ("B", "D", "C", "A")
    said = text_of(sheets_of(make_spec(component, place="upper row")))
    assert "Seen from the gearbox side, looking forward" in said
    assert "left and right change places" in said
    assert "45 N·m" in said


def test_a_sequence_on_record_is_drawn_as_it_is(component):
    make_pattern(holes(), component=component)
    plan = plan_of(make_spec(component, tightening_order="D, A, C, B"))
    assert plan.sequence == ("D", "A", "C", "B")
    words = [shape.words for shape in torque_drawing(plan).shapes if hasattr(shape, "words")]
    assert {"A", "B", "C", "D", "1", "2", "3", "4"} <= set(words)


def test_a_sequence_of_other_holes_is_not_drawn(component):
    make_pattern(holes(), component=component)
    plan = plan_of(make_spec(component, tightening_order="1, 3, 2, 4"))
    assert not plan.holes
    assert "names other holes" in plan.note


def test_without_such_a_pattern_there_is_no_drawing_and_the_sheet_says_so(component):
    make_pattern(holes(HOLES[:3]), component=component)
    spec = make_spec(component)
    assert not plan_of(spec).holes
    assert "No hole pattern on record has just these fasteners: no drawing" in text_of(sheets_of(spec))


def test_of_two_faces_that_fit_none_is_guessed(component):
    make_pattern(holes(), component=component, face="front face")
    make_pattern(holes(), component=component, face="rear face")
    plan = plan_of(make_spec(component))
    assert not plan.holes
    assert "front face, rear face" in plan.note


def test_the_newest_measurement_of_a_face_is_drawn_and_a_deleted_one_never(component):
    make_pattern(holes(), component=component)
    moved = [{**row, "y": row["y"] + 1} for row in HOLES]
    newer = make_pattern(holes(moved), component=component, measured_on=date(2026, 5, 1))
    spec = make_spec(component)
    assert top_of(spec) == 101.0
    newer.deleted_at, newer.deleted_reason, newer.deleted_by = timezone.now(), "mirrored", newer.person
    newer.save()
    assert top_of(spec) == 100.0


def test_a_torque_that_nobody_approved_is_no_figure_and_has_no_boxes(component):
    said = text_of(sheets_of(make_spec(component, published_torque=None, published_typed="", published_source="")))
    assert "No approved torque: do not tighten" in said
    assert "N·m" not in said
    assert "done by" not in said


@pytest.mark.parametrize("kind", ["torque-sheets", "job-card"])
def test_a_doubted_torque_prints_no_figure_until_the_owner_takes_it(component, kind):
    doubted = {"published_torque": 190.0, "published_typed": "190 N·m"}
    torque = make_job_torque(step=make_step(), torque_spec=make_spec(component, **doubted))
    said = text_of(bytes(make_printed(kind, torque.job).pdf))
    assert "No approved torque: do not tighten" in said
    assert "190" not in said
    torque.doubt_figure, torque.doubt_reason = 190.0, "stud of class 12.9"
    torque.save()
    said = text_of(bytes(make_printed(kind, torque.job).pdf))
    assert "190 N·m" in said
    assert "stud of class 12.9" in said


def test_the_figure_can_be_read_at_arms_length(component):
    sizes = {}
    page = reader(sheets_of(make_spec(component))).pages[0]
    page.extract_text(visitor_text=lambda text, cm, tm, font, size: sizes.setdefault(text.strip(), size))
    assert sizes["45 N·m"] >= 20


def test_boxes_have_room_for_a_hand():
    assert 40 * mm <= torque_story.SIGN_WIDTH
    assert 12 * mm <= torque_story.SIGN_HEIGHT
    assert 40 * mm <= torque_story.TICK_WIDTH
    assert 7 * mm <= torque_story.TICK_HEIGHT


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("count", [4, 12, 30])
def test_a_set_of_fasteners_fills_one_sheet(component, paper, count):
    rows = [{"name": f"B{at}", "x": 150.0 if at % 2 else -150.0, "y": 14.0 * at} for at in range(count)]
    make_pattern(holes(rows), component=component)
    pdf = sheets_of(make_spec(component, count=count), paper=paper)
    assert len(reader(pdf).pages) == 1
    assert f"B{count - 1}" in text_of(pdf)


def test_what_is_locked_or_turned_by_an_angle_is_not_turned_again(component):
    said = text_of(sheets_of(make_spec(component)))
    assert "Once more round" in said
    assert "Once more round" not in text_of(sheets_of(make_spec(component, condition="locking compound")))


def test_the_plans_cost_the_same_for_one_and_for_ten(component, django_assert_num_queries):
    make_pattern(holes(), component=component)
    specs = [make_spec(component, place=f"place {at}") for at in range(10)]
    for some in (specs[:1], specs):
        with django_assert_num_queries(2):  # patterns with their people; their holes
            hole_plans(some)


def test_a_pattern_measured_from_the_engine_side_is_drawn_as_the_fitter_sees_it(component):
    make_pattern(holes(), component=component, seen_from="engine")
    plan = plan_of(make_spec(component))
    assert {(hole.name, hole.x) for hole in plan.holes} == {("A", 0.0), ("B", -90.0), ("C", -15.0), ("D", 70.0)}
    assert plan.seen == "from the gearbox side, looking forward"
    assert "mirrored here" in plan.source


def test_names_that_begin_alike_are_drawn_without_their_beginning(component):
    rows = [{"name": f"E-M10-{at}", "x": 100.0 * at, "y": 50.0 * (at % 2)} for at in range(14)]
    make_pattern(holes(rows), component=component)
    spec = make_spec(component, count=14)
    words = [shape.words for shape in torque_drawing(plan_of(spec)).shapes if hasattr(shape, "words")]
    assert not any(word.startswith("E-M10") for word in words)
    assert "The names begin with E-M10-" in text_of(sheets_of(spec))
