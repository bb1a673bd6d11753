"""Job templates and lessons on their pages."""

import pytest

from shop.jobs.models import JobTemplate, Lesson
from tests.factories.jobs import make_lesson, make_step, make_template
from tests.factories.measuring import make_component
from tests.pages import text_of
from tests.queries import queries_of

pytestmark = pytest.mark.django_db

FORM = {"title": "Measure", "hours_estimated": "1", "role": "fitter", "hazard": "none", "version": 1}
MARK = {"once": "a-mark-that-a-form-was-given-0001"}


def test_an_empty_list_of_templates_says_what_to_do_and_does_it(owner):
    assert "Add the job templates" in text_of(owner.get("/jobs/templates/"))
    page = text_of(owner.post("/jobs/templates/shipped/", follow=True))
    assert "3 job templates added." in page
    assert "Add the job templates" not in page


def test_a_steps_needs_are_ticked_and_a_circle_is_refused(owner):
    first, second, third = make_template().steps.all()
    form = {
        "title": "Measure",
        "text": "",
        "cautions": "",
        "hours_estimated": "1",
        "role": "fitter",
        "hazard": "none",
        "version": 1,
    }
    words = text_of(owner.post(f"/jobs/templates/steps/{first.pk}/edit/", form | {"after": [third.pk]}))
    assert "for ever" in words
    owner.post(f"/jobs/templates/steps/{third.pk}/edit/", form | {"title": "Make", "after": [first.pk, second.pk]})
    assert set(third.needs.values_list("needs_step", flat=True)) == {first.pk, second.pk}


def test_a_template_page_costs_the_same_queries_for_few_and_many_steps(owner):
    short, long = make_template(titles=("A", "B")), make_template(name="Long", titles=tuple("ABCDEFGHIJKL"))
    few, many = (len(queries_of(owner, f"/jobs/templates/{template.pk}/")) for template in (short, long))
    assert few == many


def test_a_lesson_is_written_from_a_step_and_found_again(fitter):
    step, component = make_step(title="Strip"), make_component()
    form = {"title": "Loom clip", "text": "Undo it first.", "components": [component.pk]}
    page = text_of(fitter.post(f"/jobs/lessons/new/?step={step.pk}", form | MARK, follow=True))
    lesson = Lesson.objects.get()
    assert (lesson.learned_at, list(lesson.components.all())) == (step, [component])
    assert "Undo it first." in page
    assert "Loom clip" in text_of(fitter.get(f"/jobs/steps/{step.pk}/"))
    assert "Loom clip" in text_of(fitter.get("/jobs/lessons/?words=clip"))


@pytest.mark.parametrize("asked", ["0", "999999999", "abc", "99999999999999999999", ""])
def test_a_lesson_from_no_step_in_particular(fitter, asked):
    assert fitter.get(f"/jobs/lessons/new/?step={asked}").status_code in (200, 404)


def test_a_deleted_lesson_leaves_the_list(fitter):
    lesson = make_lesson()
    fitter.post(f"/jobs/lessons/{lesson.pk}/delete/", {"reason": "not true"} | MARK)
    assert f'href="{lesson.get_absolute_url()}"' not in text_of(fitter.get("/jobs/lessons/"))
    assert "not true" in text_of(fitter.get(f"/jobs/lessons/{lesson.pk}/"))


def test_a_stale_template_is_caught(owner, fitter):
    template = make_template(name="Short")
    owner.post(f"/jobs/templates/{template.pk}/edit/", {"name": "Longer", "purpose": "", "version": 1})
    words = fitter.post(f"/jobs/templates/{template.pk}/edit/", {"name": "Shorter", "purpose": "", "version": 1})
    assert "Longer" in text_of(words)
    assert JobTemplate.objects.get().name == "Longer"


def test_questions_and_parts_are_written_a_line_each(owner):
    step = make_template().steps.first()
    form = FORM
    lines = {"questions": "Which clutch?\n\nWhich ratios?", "parts": "2 x dowel, hardened\nplate blank\n0,5 × tube"}
    owner.post(f"/jobs/templates/steps/{step.pk}/edit/", form | lines)
    assert [need.decision for need in step.needs.all()] == ["Which clutch?", "Which ratios?"]
    assert [str(part) for part in step.parts.all()] == ["2 × dowel, hardened", "1 × plate blank", "0.5 × tube"]
    shown = text_of(owner.get(f"/jobs/templates/steps/{step.pk}/edit/"))
    assert "2 × dowel, hardened 1 × plate blank" in shown
    owner.post(f"/jobs/templates/steps/{step.pk}/edit/", form | {"version": 2, "parts": "1 × plate blank"})
    assert [str(part) for part in step.parts.all()] == ["1 × plate blank"]
    assert not step.needs.exists()


@pytest.mark.parametrize("parts", ["0 × dowel", "x" * 201])
def test_a_bad_line_is_refused_and_kept(owner, parts):
    step = make_template().steps.first()
    form = {
        "title": "Measure",
        "hours_estimated": "1",
        "role": "fitter",
        "hazard": "none",
        "version": 1,
        "parts": parts,
    }
    words = text_of(owner.post(f"/jobs/templates/steps/{step.pk}/edit/", form))
    assert 'id="id_parts_error"' in words
    assert parts in words
    assert not step.parts.exists()


def test_a_stale_step_of_a_template_shows_both_lists_of_parts_and_no_false_difference(owner, fitter):
    step = make_template().steps.first()
    step.needs.create(decision="Which clutch?")
    step.needs.create(decision="Which ratios?")
    form = FORM
    same = {"questions": "Which clutch?\r\nWhich ratios?"}
    owner.post(f"/jobs/templates/steps/{step.pk}/edit/", form | same | {"parts": "1 × blank"})
    words = text_of(fitter.post(f"/jobs/templates/steps/{step.pk}/edit/", form | same | {"parts": "2 × blank"}))
    assert "Yours: <b>2 × blank</b>" in words
    assert "On record: <b>1 × blank</b>" in words
    assert 'id="differs-questions"' not in words
