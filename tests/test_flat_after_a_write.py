"""What the first reader after a write reads does not grow with the shop's years either, whatever was written.

Work is counted as in `test_flat.py`, and so are the questions. The shop has a vehicle that waits for a part, beside it
years of finished jobs.
"""

from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.base import unchanged
from shop.jobs.models import Step, TimeEntry
from specs.models import Measurement
from tests.factories.jobs import make_decision, make_regulated_item
from tests.factories.measuring import make_dimension, make_reading
from tests.factories.orders import make_delivery
from tests.factories.people import make_person
from tests.factories.planning import make_waiting_job
from tests.factories.worksheets import accepted_worksheet
from tests.test_flat import add_jobs, has_grown, work_of_act

pytestmark = pytest.mark.django_db(transaction=True)

FEW, MANY = 130, 1_400
MORE_LOTS = 6
"""Of twenty lots of jobs more."""
PAGES = ("/", "/planning/late/", "job")


class Shop:
    def __init__(self) -> None:
        self.person = make_person(username="owner", roles=["owner", "fitter"])
        self.waiting = make_waiting_job()
        self.size = make_dimension(name="extension")
        make_reading(dimension=self.size, mm=50)
        given = {"target": "100 N*m", "wrench_length": "400 mm", "extension": self.size}
        self.waiting.job.worksheets.add(accepted_worksheet(self.person, inputs=given))
        # Of tables without rows SQLite thinks that they are long.
        make_decision(job=self.waiting.job)
        make_regulated_item(job=self.waiting.job)
        self.client = Client(headers={"Cache-Control": "no-cache"})
        self.client.force_login(self.person)
        self.turn = 0

    def name(self):
        type(self.person).objects.filter(pk=self.person.pk).update(last_name=f"Darrow {self.turn}")

    def finished_step(self):
        step = Step.objects.get(pk=self.waiting.lamps.pk)
        undone = step.is_finished
        step.finished_at, step.finished_by = (None, None) if undone else (timezone.now(), self.person)
        step.save()

    def delivery(self):
        make_delivery(line=self.waiting.line, on=timezone.localdate(), quantity="0.01")

    def reading(self):
        Measurement.objects.filter(dimension=self.size).update(value=0.05 + self.turn / 1e6)

    def work_after(self, write, page: str) -> tuple[int, int]:
        """How much the database does for the first reader after a write, the second of its kind; and how many
        questions a third one has put."""
        address = self.waiting.job.get_absolute_url() if page == "job" else page
        for _ in range(2):
            self.turn += 1
            write()
            told = work_of_act(lambda: self.client.get(address))
        self.turn += 1
        write()
        with CaptureQueriesContext(connection) as captured:
            self.client.get(address)
        return told, sum("pg_current_snapshot" not in query["sql"] for query in captured)

    def years(self, first: int, last: int) -> None:
        """Finished jobs, with the hours that their steps took."""
        add_jobs(first, last, self.person)
        steps = Step.objects.filter(time_entries=None, finished_at__isnull=False)
        told = {"person": self.person, "recorded_by": self.person, "hours": 2, "day": timezone.localdate()}
        TimeEntry.objects.bulk_create(TimeEntry(step=step, **told) for step in steps)
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")

    def after_every_write(self) -> dict[tuple[str, str], tuple[int, int]]:
        writes = (self.name, self.finished_step, self.delivery, self.reading)
        return {(write.__name__, page): self.work_after(write, page) for write in writes for page in PAGES}


def test_what_the_first_reader_after_a_write_reads_stays_the_same_over_the_years(monkeypatch):
    monkeypatch.setattr(unchanged, "_KEPT", unchanged._Kept())
    noon = timezone.now().replace(hour=12)
    monkeypatch.setattr(timezone, "now", lambda: noon + timedelta(seconds=1))
    shop = Shop()
    shop.years(0, FEW)
    few = shop.after_every_write()
    shop.years(FEW, MANY)
    many = shop.after_every_write()
    grown = {of: (few[of], many[of]) for of in few if has_grown(few[of][0], many[of][0])}
    assert grown == {}, "these read more as finished jobs gather"
    asked = {of: (few[of][1], many[of][1]) for of in few if many[of][1] > few[of][1] + MORE_LOTS}
    assert asked == {}, "these ask more as finished jobs gather"
