"""The demo command: a believable workshop in an empty database, and hands off a real one."""

from contextlib import suppress
from io import StringIO

import pytest
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.core.management import CommandError, call_command
from django.db import transaction
from django.test import Client, TestCase
from django.utils import timezone

from shop.demo.world import PASSWORD, PEOPLE
from shop.jobs.changes.work import finish, start
from shop.jobs.models import Job, Step
from shop.jobs.standing import done_jobs, open_jobs
from shop.orders.models import OrderLine
from shop.planning.inputs import read_shop
from shop.planning.late import late_lines
from shop.worksheets.evaluation import worksheet_states
from shop.worksheets.job_pieces import is_named
from shop.worksheets.models import Worksheet, WorksheetInput
from shop.worksheets.rules import WorksheetState
from specs.engine import parsing, units
from specs.models import Component, Dimension, HolePattern, MatingFeature, Specimen, working_value
from tests.factories.people import make_person
from tests.pages import words_of
from tests.queries import queries_of


def demo(*options: str) -> str:
    out = StringIO()
    call_command("demo", "--no-serve", *options, stdout=out)
    return out.getvalue()


class TestTheDemoBesideARealPerson(TestCase):
    """One class and one worker, so that the demo, which takes long to make, is made once for all its tests."""

    said: str

    @classmethod
    def setUpTestData(cls) -> None:
        make_person(username="real", password="her own words")
        cls.said = demo("--into-existing")

    def test_everybody_it_names_can_sign_in(self) -> None:
        for name, first, last, role in PEOPLE:
            assert f"{first} {last}" in self.said
            response = Client().post("/people/sign-in/", {"username": name, "password": PASSWORD})
            assert response.status_code == 302, name
            assert [group.name for group in User.objects.get(username=name).groups.all()] == [role]

    def test_the_real_person_is_left_alone(self) -> None:
        assert User.objects.get(username="real").check_password("her own words")
        assert User.objects.count() == len(PEOPLE) + 1

    def test_it_has_worksheets_that_hold_fail_wait_and_are_out_of_date(self) -> None:
        statuses = [state.status for state in worksheet_states(Worksheet.objects.all())]
        assert any(status.holds for status in statuses)
        assert any(status.failing for status in statuses)
        assert any(status.in_doubt for status in statuses)
        assert any(status.problems for status in statuses)
        changed = [status for status in statuses if status.state is WorksheetState.CHANGED]
        assert changed
        assert all(status.causes for status in changed)

    def test_nothing_in_it_stands_beside_another_figure_on_record(self) -> None:
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

    def test_its_lengths_from_the_block_add_up(self) -> None:
        read = {one.name: working_value(one) for one in Dimension.objects.filter(kind="length")}
        flange, face = read["crank flange to block face"].value, read["face height"].value
        given = {held.path: held.typed for held in WorksheetInput.objects.exclude(typed="")}
        for path, length in (
            ("finger_height", flange + face + read["finger height"].value),
            ("flywheel_face", flange + face),
            ("pilot_depth", face + read["pilot bore depth"].value),
        ):
            assert parsing.read(given[path], units.LENGTH).value == pytest.approx(length, abs=0.5e-3), path

    def test_its_pieces_and_faces_go_together_or_it_says_so(self) -> None:
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

    def test_no_job_of_it_is_finished_by_whoever_presses_everything(self) -> None:
        """The owner goes on over all that may be gone over: what runs, drives or hands over stays open all the same."""
        owner = User.objects.get(username="hedda")
        for step in Step.objects.active().filter(finished_at=None).order_by("job", "position"):
            for press in (start, finish):
                with suppress(ValidationError), transaction.atomic():
                    press(step, person=owner, now=timezone.now(), go_on_because="the customer waits")
        left = Step.objects.active().filter(finished_at=None, hazard="hands over")
        assert left.count() == Job.objects.active().count()
        assert not done_jobs(Job.objects.all()).exists()

    def test_a_second_run_changes_nothing(self) -> None:
        before = Component.objects.count(), User.objects.count()
        assert "stays as it is" in demo()
        assert (Component.objects.count(), User.objects.count()) == before

    def test_the_first_page_shows_each_role_what_is_theirs(self) -> None:
        pages = {name: words_of(client_of(name).get("/")) for name in ("jonas", "wren", "hedda")}
        today = timezone.localdate()
        assert all(
            title in pages["jonas"] for title in ("Your work", "Readings to check", "Changed since", "Late parts")
        )
        assert all(title in pages["wren"] for title in ("Chase today", "What holds them up", "Arriving this week"))
        for job in open_jobs(Job.objects.all()):
            assert str(job.vehicle) in pages["hedda"]
        late = late_lines(today, read_shop)[0]
        assert late
        assert all(line.due < today for line in late)
        assert late[0].what in pages["jonas"]
        assert late[0].what in pages["wren"]

    def test_the_forecast_has_a_date_for_all_but_one_vehicle_at_most(self) -> None:
        finishes = read_shop(timezone.localdate()).forecast.finishes.values()
        assert len(finishes) > 1
        assert sum(finish.p80 is None for finish in finishes) <= 1

    def test_the_first_page_asks_no_more_queries_for_more_late_lines(self) -> None:
        before = len(queries_of(client_of("hedda"), "/"))
        for line in list(OrderLine.objects.overdue(timezone.localdate()))[:3]:
            line.pk = None
            line._state.adding = True
            line.position += 100
            line.save()
        assert len(queries_of(client_of("hedda"), "/")) == before


def client_of(name: str) -> Client:
    client = Client()
    client.force_login(User.objects.get(username=name))
    return client


def test_a_real_database_is_left_alone(db: None) -> None:
    make_person(username="real")
    with pytest.raises(CommandError, match="left alone"):
        demo()
    assert User.objects.count() == 1


def test_a_real_person_with_a_name_of_the_demo_keeps_password_and_roles(db: None) -> None:
    make_person(username="hedda", password="her own words")
    with pytest.raises(CommandError, match="hedda"):
        demo("--into-existing")
    hedda = User.objects.get()
    assert hedda.check_password("her own words")
    assert not hedda.groups.exists()


def test_never_with_production_settings(db: None, settings: object) -> None:
    settings.PRODUCTION = True  # type: ignore[attr-defined]
    with pytest.raises(CommandError, match="production"):
        demo()
    assert not User.objects.exists()
