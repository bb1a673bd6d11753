"""Routes: those shipped, and what applying one writes."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.jobs.changes.routes import apply_route, bring_in_shipped, save_route_step
from shop.jobs.models import Decision, PartNeed, RegulatedItem, Route, RouteStep, StepNeed
from shop.jobs.network import network
from shop.jobs.rules import State
from shop.jobs.shipped import read_route, shipped_routes
from tests.factories.jobs import make_job, make_route


@pytest.fixture
def owner_person(people):
    return people["owner"]


@pytest.mark.parametrize("route", shipped_routes(), ids=lambda route: route.key)
def test_a_shipped_route_says_how_and_keeps_the_start_interlock(route):
    text = " ".join(step.text for step in route.steps)
    assert "only in neutral or with the clutch down" in text.lower().replace("**", "").replace("\n", " ")
    assert "reversing lamps" in text.lower()
    assert "speed" in text.lower()
    assert all(step.text and step.hours > 0 for step in route.steps)
    assert route.steps[-1].title == "Hand over"
    assert route.steps[-1].after


@pytest.mark.parametrize("key", ["automatic_to_manual", "gearbox_with_plate", "propshaft_and_mounts"])
def test_three_routes_are_shipped(key):
    assert key in [route.key for route in shipped_routes()]


@pytest.mark.parametrize(
    ("written", "named"),
    [
        ('[[step]]\nkey = "a"\ntitle = "A"\nafter = ["b"]\n[[step]]\nkey = "b"\ntitle = "B"\n', "'a' needs"),
        ('[[step]]\nkey = "a"\ntitle = "A"\ntouches = ["paint"]\n', "paint"),
        ('[[step]]\nkey = "a"\ntitle = "A"\n[[step]]\nkey = "a"\ntitle = "B"\n', "two steps"),
    ],
)
def test_a_wrong_route_file_is_refused_by_name(tmp_path, written, named):
    path = tmp_path / "odd.toml"
    path.write_text(f'name = "Odd"\npurpose = "none"\n{written}')
    with pytest.raises(ValueError, match=named) as refused:
        read_route(path)
    assert "odd.toml" in str(refused.value)


@pytest.mark.django_db
def test_shipped_routes_come_in_once(owner_person):
    assert len(bring_in_shipped(by=owner_person)) == 3
    assert bring_in_shipped(by=owner_person) == []
    assert Route.objects.count() == 3


@pytest.mark.django_db
def test_applying_a_route_copies_steps_needs_parts_questions_and_flags(owner_person):
    bring_in_shipped(by=owner_person)
    route, job = Route.objects.get(shipped_as="gearbox_with_plate"), make_job()
    steps = apply_route(job=job, route=route, by=owner_person)
    assert [step.title for step in steps] == [step.title for step in shipped_routes()[1].steps]
    links = StepNeed.objects.filter(step__job=job, needs_step__isnull=False)
    assert links.count() == sum(len(step.after) for step in shipped_routes()[1].steps)
    assert PartNeed.objects.filter(step__job=job).count() == sum(len(step.parts) for step in shipped_routes()[1].steps)
    assert Decision.objects.filter(job=job).count() == 4
    assert set(RegulatedItem.objects.filter(job=job).values_list("touches", flat=True)) == {
        "brakes",
        "structure",
        "emissions",
        "noise",
    }


@pytest.mark.django_db
@pytest.mark.parametrize("key", [route.key for route in shipped_routes()])
def test_a_fresh_job_on_a_shipped_route_starts_with_measuring(owner_person, key):
    bring_in_shipped(by=owner_person)
    job = make_job()
    first, *_ = apply_route(job=job, route=Route.objects.get(shipped_as=key), by=owner_person)
    standings = network(job, date(2026, 3, 2)).standings
    assert [pk for pk, standing in standings.items() if standing.state is State.READY] == [first.pk]


@pytest.mark.django_db
def test_the_same_route_twice_is_refused(owner_person):
    job, route = make_job(), make_route()
    apply_route(job=job, route=route, by=owner_person)
    with pytest.raises(ValidationError, match="in this job already"):
        apply_route(job=job, route=route, by=owner_person)
    assert job.steps.count() == 3


@pytest.mark.django_db
def test_a_withdrawn_step_of_a_route_is_not_copied(owner_person):
    job, route = make_job(), make_route(titles=("Measure", "Make"))
    last = route.steps.last()
    last.withdrawn_at, last.withdrawn_reason = timezone.now(), "bought instead"
    last.save()
    assert [step.title for step in apply_route(job=job, route=route, by=owner_person)] == ["Measure"]


@pytest.mark.django_db
def test_a_circle_in_a_route_is_refused_and_nothing_changes(owner_person):
    route = make_route(titles=("Measure", "Design", "Make"))
    first, _, last = route.steps.all()
    with pytest.raises(ValidationError, match="for ever"):
        save_route_step(first, after=[last], by=owner_person)
    assert not RouteStep.objects.get(pk=first.pk).needs.exists()
