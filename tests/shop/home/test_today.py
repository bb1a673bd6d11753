"""The first page says what needs doing today, in the demo's workshop and in an empty one."""

from datetime import date

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from shop.home.demo_world import make_demo
from shop.orders.models import OrderLine
from shop.orders.panels import late, to_chase
from shop.planning.panels import ready
from shop.worksheets.panels import went_out_of_date
from tests.queries import queries_of


@pytest.fixture
def today() -> date:
    return timezone.localdate()


def client_of(name: str) -> Client:
    client = Client()
    client.force_login(User.objects.get(username=name))
    return client


def test_an_empty_shop_says_what_to_do_next(fitter: Client) -> None:
    page = fitter.get("/").content.decode()
    for words in ("Nothing is ready for you", "Nothing is past the day", "Nobody is due", "borne out"):
        assert words in page


def test_the_demo_shows_what_is_ready_late_moved_and_due(db: None, today: date) -> None:
    make_demo(today)
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
    before = len(queries_of(client_of("hedda"), "/"))
    for line in list(OrderLine.objects.overdue(today))[:3]:
        line.pk = None
        line._state.adding = True
        line.position += 100
        line.save()
    assert len(queries_of(client_of("hedda"), "/")) == before
