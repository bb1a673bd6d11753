"""Ready work: by person and vehicle, what waits and on what, and what can be done without the late part."""

import pytest
from django.utils import timezone

from shop.jobs.changes.work import finish
from shop.planning.ready import ready_jobs
from tests.factories.jobs import make_part_need, make_step, make_time_entry
from tests.factories.orders import make_line, make_order
from tests.factories.planning import in_days, make_waiting_job
from tests.pages import collapsed
from tests.queries import queries_of

pytestmark = pytest.mark.django_db

ADDRESS = "/planning/ready/"


def test_the_fitter_finds_a_step_that_does_not_have_to_wait(fitter):
    make_waiting_job()
    page = collapsed(fitter.get(ADDRESS))
    assert 'Start<span class="hidden-words"> Strip</span>' in page
    assert 'Start<span class="hidden-words"> Lamps</span>' in page
    assert 'Ready work <span class="count">2</span>' in page
    assert "<b>Without the part, now:</b> Strip; Lamps." in page
    assert "Holds up “Mount the gearbox”</span>" in page
    assert "<small>late</small>" in page


def test_what_can_be_done_without_several_late_parts_is_said_once(fitter):
    shop = make_waiting_job()
    need = make_part_need(step=make_step(job=shop.job, title="Bleed"), text="pipe")
    make_line(order=make_order(supplier=shop.slow, ordered_on=in_days(-60)), part_need=need, promised=in_days(-3))
    page = collapsed(fitter.get(ADDRESS))
    assert page.count("Holds up “") == 2
    assert page.count("<b>Without these parts, now:</b> Strip; Lamps.") == 1


def test_where_everything_waits_that_is_said(fitter, people):
    shop = make_waiting_job()
    for step in (shop.strip, shop.lamps):
        finish(step, person=people["fitter"], now=timezone.now())
    assert "Nothing here can be done now without it" in collapsed(fitter.get(ADDRESS))


def test_for_whom_nothing_is_ready_that_is_said_first(owner):
    make_waiting_job()
    assert "Nothing is ready for you now." in collapsed(owner.get(ADDRESS))
    assert "Nothing is ready for you now." not in collapsed(owner.get(f"{ADDRESS}?for=all"))


def test_what_waits_says_on_what(fitter):
    make_waiting_job()
    page = collapsed(fitter.get(ADDRESS))
    assert 'Mount the gearbox: <span class="quiet">waits for clutch kit, promised' in page
    assert "for “Strip”" in page


def test_one_tap_starts_and_the_page_then_offers_to_pause(fitter, people):
    shop = make_waiting_job()
    fitter.post(f"/jobs/steps/{shop.lamps.pk}/start/")
    page = collapsed(fitter.get(ADDRESS))
    assert 'Pause<span class="hidden-words"> Lamps</span>' in page
    assert "running" in page


def test_another_trades_step_is_not_mine_but_everybodys(fitter):
    make_step(title="Turn the spigot", role="machinist")
    assert "Turn the spigot" not in collapsed(fitter.get(ADDRESS))
    assert "Turn the spigot" in collapsed(fitter.get(f"{ADDRESS}?for=all"))


def test_a_step_given_to_a_person_is_that_persons_alone(people):
    make_step(title="Bleed", person=people["owner"])
    today = timezone.localdate()
    titles = lambda person: [str(s.step) for one in ready_jobs(today, person, ["fitter"]) for s in one.ready]  # noqa: E731
    assert titles(people["owner"]) == ["Bleed"]
    assert titles(people["fitter"]) == []


def test_a_begun_step_offers_to_go_on(fitter, people):
    make_time_entry(step=make_step(title="Bleed"), person=people["fitter"])
    assert "Continue<span" in collapsed(fitter.get(ADDRESS))


def test_no_open_job_says_what_to_do_next(fitter):
    assert "No job is open." in collapsed(fitter.get(ADDRESS))


def test_the_page_asks_the_same_number_of_queries_for_one_job_and_for_ten(fitter):
    first = make_waiting_job()
    one = len(queries_of(fitter, ADDRESS))
    for _ in range(9):
        make_waiting_job(slow=first.slow)
    assert len(queries_of(fitter, ADDRESS)) == one
