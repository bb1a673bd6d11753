"""The demo command: a believable workshop in an empty database, and hands off a real one."""

from io import StringIO

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.test import Client, TestCase
from django.utils import timezone

from shop.demo.world import PASSWORD, PEOPLE
from shop.orders.models import OrderLine
from shop.orders.panels import late, to_chase
from shop.planning.panels import ready
from shop.worksheets.evaluation import worksheet_states
from shop.worksheets.models import Worksheet
from shop.worksheets.panels import went_out_of_date
from shop.worksheets.rules import WorksheetState
from specs.models import Component
from tests.factories.people import make_person
from tests.queries import queries_of


def demo(*options: str) -> str:
    out = StringIO()
    call_command("demo", "--no-serve", *options, stdout=out)
    return out.getvalue()


@pytest.mark.xdist_group("demo")
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

    def test_a_second_run_changes_nothing(self) -> None:
        before = Component.objects.count(), User.objects.count()
        assert "stays as it is" in demo()
        assert (Component.objects.count(), User.objects.count()) == before

    def test_the_first_page_shows_what_is_ready_late_moved_and_due(self) -> None:
        today = timezone.localdate()
        page = client_of("jonas").get("/").content.decode()
        jonas = User.objects.get(username="jonas")
        for job, step in ready(jonas, today)["steps"]:
            assert str(step.step) in page
            assert str(job.vehicle) in page
        lines = late(jonas, today)["lines"]
        assert lines
        assert any(held for _, _, held in lines)
        assert all(line.expected < today for line, _, _ in lines)
        assert went_out_of_date(jonas, today)["stale"]
        assert all(chase.ask_again_on <= today for chase in to_chase(jonas, today)["chases"])

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
