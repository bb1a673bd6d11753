"""The demo: a believable workshop (`tests.demo` makes it, by its command, once for all its tests)."""

from contextlib import suppress

import pytest
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.test import Client
from django.utils import timezone

from shop.attachments.models import Attachment
from shop.base.search_index import differences
from shop.demo.ranges import kinds
from shop.demo.sample import take_out
from shop.demo.world import PASSWORD, PEOPLE
from shop.jobs.changes.work import finish, start
from shop.jobs.models import Job, Step
from shop.jobs.standing import done_jobs, every_job, open_jobs
from shop.orders.models import OrderLine
from shop.planning.inputs import read_shop
from shop.planning.late import late_today
from shop.worksheets.evaluation import worksheet_states
from shop.worksheets.job_pieces import is_named
from shop.worksheets.models import Worksheet, WorksheetInput
from shop.worksheets.rules import WorksheetState
from specs.engine import parsing, units
from specs.models import Component, Dimension, HolePattern, MatingFeature, Specimen, working_value
from tests.factories.people import make_person
from tests.pages import words_of
from tests.queries import queries_of
from tests.shop.demo.test_command import run_demo

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("demo")]


def test_everybody_signs_in_with_the_password_that_it_tells() -> None:
    for name, _, _, role in PEOPLE:
        response = Client().post("/people/sign-in/", {"username": name, "password": PASSWORD})
        assert response.status_code == 302, name
        assert [group.name for group in User.objects.get(username=name).groups.all()] == [role]
    assert User.objects.count() == len(PEOPLE)


def test_it_goes_out_whole_and_a_real_person_stays() -> None:
    real = make_person(username="real", roles=["owner"])
    take_out(person=real)
    assert {kind._meta.label for kind in kinds() if kind._base_manager.exists()} <= {"auth.User", "auth.User_groups"}
    assert list(User.objects.all()) == [real]
    assert differences() == []


def test_it_has_worksheets_that_hold_fail_wait_and_are_out_of_date() -> None:
    statuses = [state.status for state in worksheet_states(Worksheet.objects.all())]
    assert any(status.holds for status in statuses)
    assert any(status.failing for status in statuses)
    assert any(status.in_doubt for status in statuses)
    assert any(status.problems for status in statuses)
    changed = [status for status in statuses if status.state is WorksheetState.CHANGED]
    assert changed
    assert all(status.causes for status in changed)


def test_nothing_in_it_stands_beside_another_figure_on_record() -> None:
    """What is typed in a worksheet is what the records of that name say, or the worksheet doubts it."""
    dimensions = [one for one in Dimension.objects.all() if working_value(one) is not None]
    for state in worksheet_states(Worksheet.objects.all()):
        assert state.resolved is not None
        for origin in state.resolved.origins:
            # Nothing, 0, says that the thing is not there, or not reckoned with.
            typed = origin.kind == "typed" and origin.value and not origin.doubts
            for one in dimensions if typed else ():
                # Recorded from the flywheel's face, asked for from the block: worked out below.
                if one.name != "finger height" and one.kind == origin.quantity and is_named(one, origin.path):
                    working = working_value(one)
                    apart = abs(working.value - origin.value)
                    assert apart <= working.tolerance + origin.tolerance, (str(state.worksheet), origin.path)


def test_its_lengths_from_the_block_add_up() -> None:
    read = {one.name: working_value(one) for one in Dimension.objects.filter(kind="length")}
    flange, face = read["crank flange to block face"].value, read["face height"].value
    given = {held.path: held.typed for held in WorksheetInput.objects.exclude(typed="")}
    for path, length in (
        ("finger_height", flange + face + read["finger height"].value),
        ("flywheel_face", flange + face),
        ("pilot_depth", face + read["pilot bore depth"].value),
    ):
        assert parsing.read(given[path], units.LENGTH).value == pytest.approx(length, abs=0.5e-3), path


def test_its_pieces_and_faces_go_together_or_it_says_so() -> None:
    gearbox = MatingFeature.objects.get(component__name="QZ-5", name="input spline")
    there = Specimen.objects.filter(set_aside__deleted_at=None, set_aside__job__vehicle__model="Tarn estate")
    splines = MatingFeature.objects.filter(name="hub spline", component__specimens__in=there)
    assert {one.count for one in splines} == {gearbox.count}
    for state in worksheet_states(Worksheet.objects.filter(calculation="plate-layout")):
        taken = {held.pattern for held in state.worksheet.inputs.all() if held.pattern}
        for pattern in taken:
            newer = HolePattern.objects.active().filter(component=pattern.component, face=pattern.face)
            if newer.filter(measured_on__gt=pattern.measured_on).exists():
                assert any("measured again since" in doubt for doubt in state.status.doubts)


def test_no_job_of_it_is_finished_by_whoever_presses_everything() -> None:
    """The owner goes on over all that may be gone over: what runs, drives or hands over stays open all the same."""
    owner = User.objects.get(username="hedda")
    done = set(done_jobs(Job.objects.all()))
    for step in Step.objects.active().filter(finished_at=None).order_by("job", "position"):
        for press in (start, finish):
            with suppress(ValidationError), transaction.atomic():
                press(step, person=owner, now=timezone.now(), go_on_because="the customer waits")
    left = Step.objects.active().filter(finished_at=None, hazard="hands over")
    assert left.count() == Job.objects.active().count() - len(done)
    assert set(done_jobs(Job.objects.all())) == done


def test_a_second_run_changes_nothing_and_says_again_who_can_sign_in(own_databases: None) -> None:
    before = Component.objects.count(), User.objects.count()
    said = run_demo()
    assert "stays as it is" in said
    assert (Component.objects.count(), User.objects.count()) == before
    for _, first, last, _ in PEOPLE:
        assert f"{first} {last}" in said


def test_the_first_page_shows_each_role_what_is_theirs() -> None:
    pages = {name: words_of(client_of(name).get("/")) for name in ("jonas", "wren", "hedda")}
    today = timezone.localdate()
    assert all(title in pages["jonas"] for title in ("Your work", "Readings to check", "Changed since", "Late parts"))
    assert all(title in pages["wren"] for title in ("Chase today", "Late parts", "Arriving this week"))
    for job in open_jobs(Job.objects.all()):
        assert str(job.vehicle) in pages["hedda"]
    late = late_today(today, every_job(today), read_shop)[0]
    assert late
    assert all((line.expected or line.heard) < today or line.order.supplier.insolvent_on for line in late)
    assert late[0].what in pages["jonas"]
    assert late[0].what in pages["wren"]


def test_it_keeps_a_price_list_and_a_drawing_that_it_drew_itself() -> None:
    kept = {str(one.owner): (one.paper, one.content_type) for one in Attachment.objects.all()}
    papers = {"price list": "Quarry Lane Fasteners", "drawing": "Orvane V6-30"}
    assert kept == {owner: (paper, "application/pdf") for paper, owner in papers.items()}


def test_the_forecast_has_a_date_for_all_but_one_vehicle_at_most() -> None:
    finishes = read_shop(timezone.localdate()).forecast.finishes.values()
    assert len(finishes) > 1
    assert sum(finish.p80 is None for finish in finishes) <= 1


def test_the_first_page_asks_no_more_queries_for_more_late_lines() -> None:
    overdue = list(OrderLine.objects.overdue(timezone.localdate()))[:3]
    asked = []
    for more in (overdue[:1], overdue):  # after a change both times: what is kept until then is read anew
        for line in more:
            line.pk = None
            line._state.adding = True
            line.position += 100
            line.save()
        asked.append(len(queries_of(client_of("hedda"), "/")))
    assert asked[0] == asked[1]


def client_of(name: str) -> Client:
    client = Client()
    client.force_login(User.objects.get(username=name))
    return client
