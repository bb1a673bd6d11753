"""Job templates: those shipped, and what applying one writes."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.jobs.changes.templates import apply_template, bring_in_shipped, save_template_step
from shop.jobs.models import Decision, JobTemplate, PartNeed, RegulatedItem, StepNeed, TemplateStep
from shop.jobs.network import network
from shop.jobs.rules import StepState
from shop.jobs.shipped_templates import read_template, shipped_templates
from tests.factories.jobs import make_job, make_template


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
    assert [step.title for step in steps] == [step.title for step in shipped_templates()[1].steps]
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
