"""Two people who read two languages work on one record: it says the same to both, each in their own words."""

from collections.abc import Iterator

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import override

from shop.base.records import save_as
from shop.base.search_index import differences, rebuild
from shop.jobs.changes.work import finish
from shop.jobs.models import Job
from shop.jobs.network import network
from shop.jobs.rules import StepState
from shop.print.changes import facts_of
from shop.print.facts import Heading
from shop.print.kinds import sheet_kinds
from shop.vehicles.models import Customer
from shop.worksheets.changes import accept_worksheet
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.lines import accepted_lines
from shop.worksheets.rules import WorksheetState
from tests.factories.jobs import make_decision, make_job, make_step
from tests.factories.measuring import make_component, make_dimension, make_reading
from tests.factories.orders import make_delivery, make_line
from tests.factories.payables import make_invoice
from tests.factories.people import make_person
from tests.factories.worksheets import make_worksheet
from tests.pseudo import CODE, pseudo, speaking_pseudo

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def pseudo_is_spoken() -> Iterator[None]:
    with speaking_pseudo():
        yield


@pytest.fixture
def sheet():
    dimension = make_dimension(component=make_component(maker="Nuvo", name="crow's foot"), name="drive to fastener")
    make_reading(dimension=dimension, mm=50, tolerance_mm=0)  # nothing that is read is known exactly: a doubt
    return make_worksheet(inputs={"target": "100 N*m", "wrench_length": "400 mm", "extension": dimension})


def accept(sheet):
    person = make_person(username="ama", roles=["fitter"])
    token = worksheet_state(sheet).token
    return accept_worksheet(sheet, token=token, person=person, note="looked at", now=timezone.now())


@pytest.mark.parametrize(("acceptor", "reader"), [(settings.LANGUAGE_CODE, CODE), (CODE, settings.LANGUAGE_CODE)])
def test_what_one_accepts_is_not_changed_for_who_reads_another_language(sheet, acceptor, reader) -> None:
    with override(acceptor):
        accept(sheet)
    with override(reader):
        status = worksheet_state(sheet).status
        assert (status.state, status.causes, status.turned) == (WorksheetState.SAME, (), ())


def test_what_was_kept_is_said_in_the_language_of_its_reader(sheet) -> None:
    with override(CODE):
        record = accept(sheet)
    assert "nothing that is read is known exactly" in accepted_lines(record).doubts[0]
    assert record.note.startswith("In doubt: ")
    with override(CODE):
        (doubt,) = accepted_lines(record).doubts
        assert pseudo("nothing that is read is known exactly") in doubt


def test_a_sheet_says_the_same_whoever_compares_it(sheet) -> None:
    job = make_job(title="Gearbox with plate")
    kind, heading = sheet_kinds()["job-card"], Heading("", "", "", "", "", "", "")
    assert kind.model is Job
    today = timezone.localdate()
    facts = facts_of(kind, job, heading, "metric", today)
    with override(CODE):
        assert facts_of(kind, job, heading, "metric", today) == facts


@pytest.mark.parametrize(("finisher", "reader"), [(settings.LANGUAGE_CODE, CODE), (CODE, settings.LANGUAGE_CODE)])
def test_a_step_finished_over_something_is_done_for_who_reads_another_language(sheet, finisher, reader) -> None:
    today, owner = timezone.localdate(), make_person(roles=["owner"])
    step = make_step(title="Gearbox in")
    make_decision(step=step)
    step.needs.create(worksheet=sheet)
    with override(finisher):
        finish(step, person=owner, now=timezone.now(), go_on_because="the customer waits")
    for language in (finisher, reader):
        with override(language):
            assert network(step.job, today).statuses[step.pk].state is StepState.DONE
    step.needs.create(decision=make_decision(job=step.job, question="Which clutch?"))
    with override(reader):
        assert network(step.job, today).statuses[step.pk].state is StepState.CHECK


def test_a_record_is_found_in_either_language_whoever_saved_it() -> None:
    person = make_person(username="hedda", roles=["owner"])
    make_invoice(
        make_delivery(line=make_line()), number="NU-2026-003"
    )  # its name in the index begins with a word of the program
    with override(CODE):
        rebuild()
        save_as(Customer(name="Hollis Vane", phone="020 555 0142"), person=person)
    assert differences() == []
    client = Client()
    client.force_login(person)
    for language in (settings.LANGUAGE_CODE, CODE):
        with override(language):
            for typed, name in (
                ("hollis", "Hollis Vane"),
                ("nu2026003", "NU-2026-003"),
                ("invoice 003", "NU-2026-003"),
            ):
                assert name in client.get(reverse("home:search"), {"q": typed}).content.decode()
