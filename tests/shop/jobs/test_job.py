"""Jobs: the list, the page, opening, changing, deleting."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from shop.jobs.models import Job, JobTemplate
from tests.factories.jobs import (
    make_decision,
    make_job,
    make_job_torque,
    make_lesson,
    make_part_need,
    make_regulated_item,
    make_sign_off,
    make_step,
    make_step_need,
    make_template,
    make_time_entry,
)
from tests.factories.orders import make_line
from tests.factories.people import make_person
from tests.factories.vehicles import make_customer, make_vehicle
from tests.pages import collapsed
from tests.queries import queries_of

pytestmark = pytest.mark.django_db

MARK = {"once": "a-mark-that-a-form-was-given-0001"}


def finished(**changes):
    return make_step(finished_at=timezone.now(), finished_by=make_person(), **changes)


def test_the_list_filters_by_state_and_words_in_the_address(fitter):
    make_step(job=make_job(title="Five-speed", vehicle=make_vehicle(registration="KX 471-B")))
    finished(
        job=make_job(title="Shaft", vehicle=make_vehicle(registration="QQ 99", customer=make_customer(name="Per")))
    )

    def titles(query):
        words = collapsed(fitter.get(f"/jobs/?{query}"))
        return [title for title in ("Five-speed", "Shaft") if f">{title}</a>" in words]

    assert titles("") == ["Five-speed", "Shaft"]
    assert titles("state=open") == ["Five-speed"]
    assert titles("state=done") == ["Shaft"]
    assert titles("words=kx471") == ["Five-speed"]
    assert titles("words=per&state=open") == []


@pytest.mark.parametrize("sort", ["title", "-vehicle", "state", "-wanted_by", "customer"])
def test_the_list_sorts_and_costs_the_same_queries_for_one_row_and_twenty(fitter, sort):
    make_step(job=make_job())
    # session, person, roles, preferences, count, rows
    few = len(queries_of(fitter, f"/jobs/?sort={sort}"))
    for _ in range(19):
        make_step(job=make_job())
    assert len(queries_of(fitter, f"/jobs/?sort={sort}")) == few


def test_a_job_is_opened_once_however_often_the_button_is_pressed(fitter):
    form = {
        "vehicle": make_vehicle().pk,
        "title": "Five-speed",
        "asked_for": "",
        "opened_on": "2026-03-02",
        "wanted_by": "",
    }
    first = fitter.post("/jobs/new/", form | MARK)
    assert first["Location"] == fitter.post("/jobs/new/", form | MARK)["Location"]
    assert Job.objects.count() == 1


def test_a_wish_before_the_opening_is_refused_and_kept(fitter):
    form = {"vehicle": make_vehicle().pk, "title": "X", "opened_on": "2026-03-02", "wanted_by": "2026-03-01"}
    words = collapsed(fitter.post("/jobs/new/", form | MARK))
    assert "That is before the job was opened." in words
    assert 'value="2026-03-01"' in words


def test_the_second_of_two_changes_is_shown_both_versions(fitter, owner):
    job = make_job(title="Five-speed")
    form = {"vehicle": job.vehicle_id, "asked_for": "", "opened_on": "2026-03-02", "wanted_by": "", "version": 1}
    owner.post(f"/jobs/{job.pk}/edit/", form | {"title": "Six-speed"})
    words = collapsed(fitter.post(f"/jobs/{job.pk}/edit/", form | {"title": "Four-speed"}))
    assert "Six-speed" in words
    assert "Four-speed" in words
    job.refresh_from_db()
    assert job.title == "Six-speed"


def test_a_deleted_job_keeps_its_page_and_leaves_the_list(fitter):
    job = make_job(title="Mistaken")
    fitter.post(f"/jobs/{job.pk}/delete/", {"reason": "entered twice"} | MARK)
    assert "entered twice" in collapsed(fitter.get(f"/jobs/{job.pk}/"))
    assert "Mistaken</a>" not in collapsed(fitter.get("/jobs/"))
    assert "Mistaken</a>" in collapsed(fitter.get("/jobs/?show=deleted"))


def test_a_template_is_taken_from_the_page(owner):
    owner.post("/jobs/templates/shipped/")
    job, template = make_job(), JobTemplate.objects.get(shipped_as="propshaft_and_mounts")
    owner.post(f"/jobs/{job.pk}/template/", {"template": template.pk} | MARK)
    words = collapsed(owner.get(f"/jobs/{job.pk}/"))
    assert "Fit mounts and shaft for good" in words
    assert "not begun, 17 steps" in words.lower()


def test_the_same_template_again_is_refused_on_the_page(owner):
    job, template = make_job(), make_template()
    owner.post(f"/jobs/{job.pk}/template/", {"template": template.pk} | MARK)
    again = owner.post(f"/jobs/{job.pk}/template/", {"template": template.pk, "once": "another-mark-of-another-form-2"})
    assert "in this job already" in collapsed(again)


def test_steps_move_up_and_down(fitter):
    job = make_job()
    one, two, three = (make_step(job=job, title=title) for title in "ABC")
    fitter.post(f"/jobs/steps/{three.pk}/move/", {"to": "up"})
    fitter.post(f"/jobs/steps/{one.pk}/move/", {"to": "up"})
    assert "".join(job.steps.values_list("title", flat=True)) == "ACB"
    fitter.post(f"/jobs/steps/{one.pk}/move/", {"to": "down"})
    assert "".join(job.steps.values_list("title", flat=True)) == "CAB"


def test_a_step_that_was_moved_stands_in_its_new_place_on_every_page(fitter):
    job = make_job()
    strip, _, loom = (make_step(job=job, title=title) for title in ("Strip", "Electrics", "Loom"))
    fitter.post(f"/jobs/steps/{loom.pk}/move/", {"to": "up"})
    for address in (f"/jobs/{job.pk}/", "/planning/ready/"):
        page = collapsed(fitter.get(address))
        assert page.index(">Strip</a>") < page.index(">Loom</a>") < page.index(">Electrics</a>"), address
    page = collapsed(fitter.get(f"/jobs/steps/{loom.pk}/"))
    assert "Previous step: Strip" in page
    assert "Next step: Electrics" in page
    assert "Next step: Loom" in collapsed(fitter.get(f"/jobs/steps/{strip.pk}/"))


def test_the_page_costs_the_same_queries_however_much_stands_on_it(fitter):
    def fill(times):
        job = make_job()
        for _ in range(times):
            step = finished(job=job)
            make_part_need(step=step)
            make_decision(step=step)
            torque = make_job_torque(step=step)
            make_sign_off(step=step, torque=torque, value=85.0, value_typed="85 N·m")
            make_regulated_item(job=job, step=step)
            make_lesson(learned_at=step)
        return job

    few, many = (len(queries_of(fitter, f"/jobs/{fill(n).pk}/")) for n in (1, 12))
    assert few == many


def test_an_approval_is_recorded_and_shown(owner):
    item = make_regulated_item()
    make_time_entry(step=make_step(job=item.job))
    form = {
        "licensed_person": "R. Veld",
        "licence": "ST-119",
        "valid_until": "2027-12-31",
        "evidence": "certificate 40",
        "passed_on": "2026-03-02",
    }
    owner.post(f"/jobs/regulated/{item.pk}/approve/", form | MARK)
    assert "Approved by R. Veld (ST-119, valid until 31 Dec 2027) on 2 Mar 2026" in collapsed(
        owner.get(f"/jobs/{item.job_id}/")
    )


def test_a_csv_has_the_rows_of_the_list(fitter):
    make_step(job=make_job(title="=1+2", opened_on=date(2026, 3, 2)))
    rows = fitter.get("/jobs/?as=csv").getvalue().decode()
    assert "not begun,1,0,0,2026-03-02" in rows
    assert "\n=1+2" not in rows


@pytest.mark.parametrize(
    "asked", ["state=xyz", "show=all", "sort=password", "page=0", "page=x&sort=-title", "words=%25_"]
)
def test_an_odd_address_of_the_list_breaks_nothing(fitter, asked):
    make_job()
    assert fitter.get(f"/jobs/?{asked}").status_code == 200


def test_only_what_is_ready_can_be_started_from_the_jobs_page(fitter):
    first = make_step(title="Strip")
    waits = make_step(job=first.job, title="Mount")
    make_step_need(waits, first)
    page = collapsed(fitter.get(first.job.get_absolute_url()))
    assert f'action="/jobs/steps/{first.pk}/start/"' in page
    assert f"/jobs/steps/{waits.pk}/start/" not in page
    assert page.count("<button>Start<") == 1
    assert "Waits for “Strip”" in page


def test_a_waiting_step_names_the_first_two_things_and_counts_the_others(fitter):
    step = make_step(title="Machine the flywheel")
    for text in ("flywheel blank", "ring gear", "balance weights"):
        make_part_need(step=step, text=text)
    make_decision(step=step, question="Lighten it?")
    page = collapsed(fitter.get(step.job.get_absolute_url()))
    assert "Waits for a decision, flywheel blank, and 2 more" in page
    only = make_step(job=step.job, title="Balance it")
    make_decision(step=only, question="Whose balancer?")
    assert "Waits for a decision<" in collapsed(fitter.get(step.job.get_absolute_url()))


def test_a_late_part_says_how_late_whose_it_is_and_leads_the_buyer_to_asking(fitter, buyer):
    need = make_part_need(step=make_step(title="Machine the flywheel"), text="flywheel blank")
    today = timezone.localdate()
    line = make_line(part_need=need, text="flywheel blank", promised=today - timedelta(days=9))
    at, chase = need.step.job.get_absolute_url(), f"/orders/{line.order_id}/chase/"
    page = collapsed(buyer.get(at))
    assert "9 days <small>late</small>" in page
    assert f"{line.order.supplier} · for Machine the flywheel" in page
    assert f'href="{chase}">Chase' in page
    assert chase not in collapsed(fitter.get(at))
