"""Job templates: those shipped, and what applying one writes."""

from datetime import date
from operator import attrgetter

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.jobs.changes.templates import apply_template, bring_in_shipped, save_template_step
from shop.jobs.models import Decision, JobTemplate, PartNeed, RegulatedItem, StepNeed, TemplateStep
from shop.jobs.network import network
from shop.jobs.rules import StepState
from shop.jobs.shipped_templates import read_template, shipped_templates
from tests.factories.jobs import make_job, make_template
from tests.pages import collapsed, delete_by_both, press
from tests.queries import queries_of


@pytest.fixture
def owner_person(people):
    return people["owner"]


@pytest.mark.parametrize("template", shipped_templates(), ids=lambda template: template.key)
def test_a_shipped_template_says_how_and_keeps_the_start_interlock(template):
    text = " ".join(step.text for step in template.steps)
    assert "only in neutral or with the clutch down" in text.lower().replace("**", "").replace("\n", " ")
    assert "reversing lamps" in text.lower()
    assert "speed" in text.lower()
    assert all(step.text and step.hours > 0 for step in template.steps)
    assert template.steps[-1].title == "Hand over"
    assert template.steps[-1].after


@pytest.mark.parametrize("key", ["automatic_to_manual", "gearbox_with_plate", "propshaft_and_mounts"])
def test_three_templates_are_shipped(key):
    assert key in [template.key for template in shipped_templates()]


@pytest.mark.parametrize(
    ("written", "named"),
    [
        ('[[step]]\nkey = "a"\ntitle = "A"\nafter = ["b"]\n[[step]]\nkey = "b"\ntitle = "B"\n', "'a' needs"),
        ('[[step]]\nkey = "a"\ntitle = "A"\ntouches = ["paint"]\n', "paint"),
        ('[[step]]\nkey = "a"\ntitle = "A"\n[[step]]\nkey = "a"\ntitle = "B"\n', "two steps"),
    ],
)
def test_a_wrong_template_file_is_refused_by_name(tmp_path, written, named):
    path = tmp_path / "odd.toml"
    path.write_text(f'name = "Odd"\npurpose = "none"\n{written}')
    with pytest.raises(ValueError, match=named) as refused:
        read_template(path)
    assert "odd.toml" in str(refused.value)


@pytest.mark.django_db
def test_shipped_templates_come_in_once(owner_person):
    assert len(bring_in_shipped(person=owner_person)) == 3
    assert bring_in_shipped(person=owner_person) == []
    assert JobTemplate.objects.count() == 3


@pytest.mark.django_db
def test_applying_a_template_copies_steps_needs_parts_questions_and_flags(owner_person):
    bring_in_shipped(person=owner_person)
    template, job = JobTemplate.objects.get(shipped_as="gearbox_with_plate"), make_job()
    steps = apply_template(job=job, template=template, person=owner_person)
    says = attrgetter("title", "text", "cautions", "hours_estimated", "role", "hazard")
    assert [says(step) for step in steps] == [says(step) for step in template.steps.all()]
    assert [step.cautions for step in steps] == [step.cautions for step in shipped_templates()[1].steps]
    links = StepNeed.objects.filter(step__job=job, needs_step__isnull=False)
    assert links.count() == sum(len(step.after) for step in shipped_templates()[1].steps)
    assert PartNeed.objects.filter(step__job=job).count() == sum(
        len(step.parts) for step in shipped_templates()[1].steps
    )
    assert Decision.objects.filter(job=job).count() == 4
    assert set(RegulatedItem.objects.filter(job=job).values_list("touches", flat=True)) == {
        "brakes",
        "structure",
        "restraint",
        "emissions",
        "noise",
    }


@pytest.mark.django_db
@pytest.mark.parametrize("key", [template.key for template in shipped_templates()])
def test_a_fresh_job_on_a_shipped_template_starts_with_measuring(owner_person, key):
    bring_in_shipped(person=owner_person)
    job = make_job()
    first, *_ = apply_template(job=job, template=JobTemplate.objects.get(shipped_as=key), person=owner_person)
    statuses = network(job, date(2026, 3, 2)).statuses
    assert [pk for pk, status in statuses.items() if status.state is StepState.READY] == [first.pk]


@pytest.mark.django_db
def test_the_same_template_twice_is_refused(owner_person):
    job, template = make_job(), make_template()
    apply_template(job=job, template=template, person=owner_person)
    with pytest.raises(ValidationError, match="in this job already"):
        apply_template(job=job, template=template, person=owner_person)
    assert job.steps.count() == 3


@pytest.mark.django_db
def test_a_deleted_step_of_a_template_is_not_copied(owner_person):
    job, template = make_job(), make_template(titles=("Measure", "Make"))
    last = template.steps.last()
    last.deleted_at, last.deleted_reason = timezone.now(), "bought instead"
    last.save()
    assert [step.title for step in apply_template(job=job, template=template, person=owner_person)] == ["Measure"]


@pytest.mark.django_db
def test_a_circle_in_a_template_is_refused_and_nothing_changes(owner_person):
    template = make_template(titles=("Measure", "Design", "Make"))
    first, _, last = template.steps.all()
    with pytest.raises(ValidationError, match="for ever"):
        save_template_step(first, after=[last], person=owner_person)
    assert not TemplateStep.objects.get(pk=first.pk).needs.exists()


FORM = {"title": "Measure", "hours_estimated": "1", "role": "fitter", "hazard": "none", "version": 1}


def test_an_empty_list_of_templates_says_what_to_do_and_does_it(owner):
    job = make_job()
    assert 'on this list: <a href="/jobs/templates/">Job templates</a>' in collapsed(
        owner.get(f"/jobs/{job.pk}/template/")
    )
    assert "Add the job templates" in collapsed(owner.get("/jobs/templates/"))
    page = collapsed(owner.post("/jobs/templates/shipped/", follow=True))
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
    words = collapsed(owner.post(f"/jobs/templates/steps/{first.pk}/edit/", form | {"after": [third.pk]}))
    assert "for ever" in words
    owner.post(f"/jobs/templates/steps/{third.pk}/edit/", form | {"title": "Make", "after": [first.pk, second.pk]})
    assert set(third.needs.values_list("needs_step", flat=True)) == {first.pk, second.pk}


def test_a_template_page_costs_the_same_queries_for_few_and_many_steps(owner):
    short, long = make_template(titles=("A", "B")), make_template(name="Long", titles=tuple("ABCDEFGHIJKL"))
    few, many = (len(queries_of(owner, f"/jobs/templates/{template.pk}/")) for template in (short, long))
    assert few == many


def test_a_stale_template_is_caught(owner, fitter):
    template = make_template(name="Short")
    owner.post(f"/jobs/templates/{template.pk}/edit/", {"name": "Longer", "purpose": "", "version": 1})
    words = fitter.post(f"/jobs/templates/{template.pk}/edit/", {"name": "Shorter", "purpose": "", "version": 1})
    assert "Longer" in collapsed(words)
    assert JobTemplate.objects.get().name == "Longer"


def test_questions_and_parts_are_written_a_line_each(owner):
    step = make_template().steps.first()
    form = FORM
    lines = {"questions": "Which clutch?\n\nWhich ratios?", "parts": "2 x dowel, hardened\nplate blank\n0,5 × tube"}
    owner.post(f"/jobs/templates/steps/{step.pk}/edit/", form | lines)
    assert [need.decision for need in step.needs.all()] == ["Which clutch?", "Which ratios?"]
    assert [str(part) for part in step.parts.all()] == ["2 × dowel, hardened", "1 × plate blank", "0.5 × tube"]
    shown = collapsed(owner.get(f"/jobs/templates/steps/{step.pk}/edit/"))
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
    words = collapsed(owner.post(f"/jobs/templates/steps/{step.pk}/edit/", form))
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
    words = collapsed(fitter.post(f"/jobs/templates/steps/{step.pk}/edit/", form | same | {"parts": "2 × blank"}))
    assert "Yours: <b>2 × blank</b>" in words
    assert "On record: <b>1 × blank</b>" in words
    assert 'id="differs-questions"' not in words


def test_a_template_is_added_and_one_without_a_name_refused(owner):
    assert press(owner, "/jobs/templates/new/", name="Bell housing", purpose="").status_code == 302
    page = collapsed(press(owner, "/jobs/templates/new/", name=" ", purpose="with the engine in place"))
    assert 'id="id_name_error"' in page
    assert "with the engine in place" in page
    assert JobTemplate.objects.count() == 1


def test_a_deleted_template_leaves_the_list_and_the_second_is_told(owner):
    template = make_template(name="Short")
    told = delete_by_both(owner, owner, f"/jobs/templates/{template.pk}/delete/")
    assert "deleted this" in told
    assert "recorded twice" in told
    assert f'href="{template.get_absolute_url()}"' not in collapsed(owner.get("/jobs/templates/"))


def test_a_step_is_added_to_a_template(owner):
    template = make_template(titles=("Measure",))
    address = f"/jobs/templates/{template.pk}/steps/new/"
    assert press(owner, address, **{**FORM, "title": "Design"}).status_code == 302
    assert [step.title for step in template.steps.all()] == ["Measure", "Design"]


@pytest.mark.parametrize(("field", "typed"), [("title", " "), ("hours_estimated", "many"), ("hazard", "")])
def test_a_step_of_a_template_that_lacks_something_is_refused_beside_its_field(owner, field, typed):
    template = make_template(titles=("Measure",))
    sent = {**FORM, "text": "With the long straightedge.", field: typed}
    page = collapsed(press(owner, f"/jobs/templates/{template.pk}/steps/new/", **sent))
    assert f'id="id_{field}_error"' in page
    assert "With the long straightedge." in page
    assert template.steps.count() == 1


def test_a_step_of_a_template_is_deleted_once_and_the_second_is_told(owner):
    template = make_template(titles=("Measure", "Design"))
    told = delete_by_both(owner, owner, f"/jobs/templates/steps/{template.steps.last().pk}/delete/")
    assert "deleted this" in told
    assert "recorded twice" in told
    assert [step.title for step in template.steps.active()] == ["Measure"]
