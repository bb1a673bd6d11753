"""A page that rests on what is kept says the same as one worked out from nothing, after any history of changes."""

import json
import os
import random
import re
import secrets
from contextlib import suppress
from dataclasses import replace
from datetime import datetime, time, timedelta
from decimal import Decimal

import pytest
from django.apps import apps
from django.contrib.auth.models import Group
from django.db import IntegrityError, transaction
from django.test import Client
from django.utils import timezone

from shop.base.panels import Viewer, panels
from shop.jobs.models import Step
from shop.jobs.standing import every_job
from shop.orders.models import OrderLine, Supplier
from shop.people.models import Preferences
from shop.planning import drawing, inputs, kept_finishes
from shop.planning.drawing_lock import at_work
from shop.planning.models import KeptForecast
from shop.vehicles.models import Customer
from specs.models import HolePattern, Measurement
from tests.factories.attachments import make_attachment
from tests.factories.jobs import (
    make_decision,
    make_job,
    make_job_torque,
    make_regulated_item,
    make_sign_off,
    make_step,
    make_time_entry,
)
from tests.factories.measuring import make_dimension, make_pattern, make_reading
from tests.factories.orders import PDF, make_chase, make_delivery, make_promise
from tests.factories.people import make_person
from tests.factories.planning import in_days, make_past, make_waiting_job
from tests.factories.plate import make_left_out, make_plate
from tests.factories.vehicles import make_fitted
from tests.factories.worksheets import accepted_worksheet, moved
from tests.kept import from_nothing

pytestmark = pytest.mark.django_db(transaction=True)

ROUNDS, ASKED = 5, 4
NAMES = {"name", "title", "question", "registration", "last_name", "reason", "reference", "face"}
PAGES = ("/", "/jobs/", "/planning/ready/", "/planning/late/", "/planning/forecast/", "/worksheets/")


class Shop:
    """One vehicle that waits for a part, a finished job, a worksheet of each."""

    def __init__(self) -> None:
        self.person = make_person(username="owner", roles=["owner", "fitter"])
        self.waiting = make_waiting_job()
        make_past(self.waiting.slow, 3, 9, 20)
        self.size = make_dimension(name="extension")
        make_reading(dimension=self.size, mm=50)
        self.sheet = accepted_worksheet(self.person, inputs=self._inputs())
        self.done = make_job(title="Done job")
        self.done_step = make_step(job=self.done, title="Bleed it")
        for job in (self.waiting.job, self.done):
            job.worksheets.add(self.sheet)
        self.plate = make_plate()
        self.done.worksheets.add(self.plate)
        order = self.waiting.line.order
        shown = (self.waiting.job, self.done, self.sheet, self.plate, order, order.supplier, self.done.vehicle)
        steps = (self.waiting.mount, self.waiting.lamps, self.done_step)
        own = [one.get_absolute_url() for one in (*shown, *steps)]
        tried = [f"/worksheets/{sheet.pk}/what-if/" for sheet in (self.sheet, self.plate)]
        plates = [f"/plate/{self.plate.pk}/{page}/" for page in ("clocking", "bolts", "thickness")]
        edits = [f"/worksheets/{sheet.pk}/edit/" for sheet in (self.sheet, self.plate)]
        self.addresses = [*PAGES, *own, *tried, *plates, *edits, "/worksheets/new/", "/worksheets/new/plate-layout/"]
        self.client, self.insisting = Client(), Client(headers={"Cache-Control": "no-cache"})
        for one in (self.client, self.insisting):
            one.force_login(self.person)
        finished = {"finished_at": timezone.now(), "finished_by": self.person, "pieces": [], "hazard": "runs"}
        Step.objects.filter(pk=self.done_step.pk).update(**finished)

    def _inputs(self):
        return {"target": "100 N*m", "wrench_length": "400 mm", "extension": self.size}

    def pages(self, asked, client=None) -> dict[str, str]:
        return {address: _plain((client or self.client).get(address).content.decode()) for address in asked}

    # What happens in a shop, one after another, in any order.

    def measure(self, drawn):
        make_reading(dimension=self.size, mm=drawn.choice([50, 51, 80]))

    def forget_a_reading(self, drawn):
        readings = Measurement.objects.filter(dimension=self.size, deleted_at=None)
        last = readings.order_by("-pk").first()
        if readings.count() > 1:
            last.deleted_at, last.deleted_by, last.deleted_reason = timezone.now(), self.person, "slipped"
            last.save()

    def measure_a_face(self, drawn):
        make_pattern(face=f"face {drawn.random()}", component=self.size.component)

    def delete_a_face(self, drawn):
        """One that a sheet takes, or any."""
        of_now = {"deleted_at": timezone.now(), "deleted_by": self.person, "deleted_reason": "measured anew"}
        if standing := list(HolePattern.objects.active().values_list("pk", flat=True)):
            HolePattern.objects.filter(pk=drawn.choice(standing)).update(**of_now)

    def type_another_input(self, drawn):
        moved(self.sheet, "target", f"{drawn.randint(80, 120)} N*m")

    def finish(self, drawn):
        Step.objects.filter(pk=self.waiting.strip.pk).update(finished_at=timezone.now(), finished_by=self.person)

    def press_start(self, drawn):
        self.client.post(f"/jobs/steps/{self.waiting.lamps.pk}/start/", follow=True)  # with the word of what was done

    def add_step(self, drawn):
        make_step(job=drawn.choice([self.done, self.waiting.job]), title="One more", hours_estimated=Decimal("2"))

    def ask(self, drawn):
        make_decision(job=self.done, question=f"Which colour, {drawn.random()}?")

    def regulate(self, drawn):
        make_regulated_item(job=self.done)

    def sign(self, drawn):
        make_sign_off(step=self.done_step, passed=False)

    def promise(self, drawn):
        make_promise(line=self.waiting.line, latest=in_days(drawn.randint(2, 40)))

    def chase(self, drawn):
        make_chase(order=self.waiting.line.order)

    def deliver(self, drawn):
        if not OrderLine.objects.get(pk=self.waiting.line.pk).deliveries.exists():
            make_delivery(line=self.waiting.line, on=in_days(-1))

    def log_hours(self, drawn):
        make_time_entry(step=drawn.choice([self.waiting.lamps, self.done_step]))

    def fit_another_piece(self, drawn):
        place = f"gearbox {drawn.random()}"  # a place holds one piece
        make_fitted(vehicle=self.done.vehicle, place=place, since=timezone.localdate())

    def tighten(self, drawn):
        make_job_torque(job=self.done, step=drawn.choice([None, self.done_step]))

    def fail(self, drawn):
        supplier = Supplier.objects.get(pk=self.waiting.slow.pk)
        supplier.insolvent_on = drawn.choice([None, in_days(-2)])
        supplier.save()

    def change_hands(self, drawn):
        self.person.groups.set(Group.objects.filter(name__in=["owner", drawn.choice(["fitter", "buyer"])]))

    def want_it_sooner(self, drawn):
        job = type(self.waiting.job).objects.get(pk=self.waiting.job.pk)
        job.wanted_by = timezone.localdate() + timedelta(days=drawn.randint(1, 60))
        job.save()

    def prefer(self, drawn):
        chosen = {"units": drawn.choice(["inch", "metric"]), "decimal_mark": drawn.choice(",.")}
        Preferences.objects.update_or_create(user=self.person, defaults=chosen)

    def leave_a_hole_out(self, drawn):
        hole = drawn.choice(["B1", "B2", "B3"])
        if not self.plate.left_out.filter(hole=hole).exists():
            make_left_out(worksheet=self.plate, hole=hole, person=self.person)

    def make_the_plate_thicker(self, drawn):
        moved(self.plate, "thickness", f"{drawn.randint(10, 40)} mm")

    def attach(self, drawn):
        content = PDF + f"%{drawn.random()}".encode()  # the same is kept once
        owner = drawn.choice([self.done, self.waiting.line.order.supplier])
        make_attachment(owner, person=self.person, content=content)

    def write_elsewhere(self, drawn):
        Customer.objects.create(name=f"Nobody {drawn.random()}")

    def rename(self, drawn):
        """Call anything that a page may lead on to by another name, in whichever table that stands."""
        named = [
            (model, field)
            for model in apps.get_models()
            for field in NAMES & {f.name for f in model._meta.fields}
            if model is not Group  # the program knows roles by their names
        ]
        for model, field in drawn.sample(sorted(named, key=str), 12):
            rows = list(model._base_manager.order_by("pk"))
            for row in drawn.sample(rows, min(2, len(rows))):
                with suppress(IntegrityError), transaction.atomic():
                    told = f"{getattr(row, field)}"[:40] + drawn.choice("abcdefgh")
                    model._base_manager.filter(pk=row.pk).update(**{field: told})


HAPPENS = [verb for name, verb in vars(Shop).items() if not name.startswith("_") and name != "pages"]


def _plain(page: str) -> str:
    hidden = re.sub(r'name="(csrfmiddlewaretoken|once)" value="[^"]*"', "", page)
    assert "<h1" in hidden
    return hidden


def test_kept_pages_say_what_pages_worked_out_from_nothing_say():
    seed = secrets.randbelow(10_000)
    drawn, shop = random.Random(seed), Shop()
    shop.pages(shop.addresses)
    for _ in range(ROUNDS):
        verbs, asked = drawn.sample(HAPPENS, 2), drawn.sample(shop.addresses, ASKED)
        for verb in verbs:
            verb(shop, drawn)
        kept = shop.pages(asked)
        with from_nothing():
            now = shop.pages(asked, shop.insisting)
        assert kept == now, f"after {[verb.__name__ for verb in verbs]}, seed {seed}"
    job = shop.done.get_absolute_url()
    before = shop.pages([job])
    type(shop.done).objects.filter(pk=shop.done.pk).update(title="Called otherwise")
    assert shop.pages([job]) != before


def test_a_forecast_that_another_process_drew_is_shown_without_its_time_only_while_it_is_that_of_today(
    settings, tmp_path
):
    settings.DATA_DIR = tmp_path
    seed = secrets.randbelow(10_000)
    drawn, shop = random.Random(seed), Shop()
    draw()
    with at_work() as sign_of_life:
        for _ in range(ROUNDS):
            os.utime(sign_of_life)  # a slow machine is no silent one
            verbs = drawn.sample(HAPPENS, 2)
            for verb in verbs:
                verb(shop, drawn)
            if drawn.random() < 0.5:
                draw()
            pages = shop.pages(("/", "/planning/forecast/", "/planning/late/"))
            with from_nothing():
                assert pages == shop.pages(pages, shop.insisting), f"after {verbs}, seed {seed}"
                of_now = json.loads(json.dumps(drawing.plain(_reading())))
            is_of_now = KeptForecast.objects.get().result == of_now
            noted = {address: "is being worked out" in page for address, page in pages.items()}
            assert is_of_now or noted["/planning/forecast/"], f"after {verbs}, seed {seed}"
            assert noted["/"] == noted["/planning/late/"] == noted["/planning/forecast/"], f"after {verbs}, seed {seed}"
        draw()
        assert "is being worked out" not in shop.pages(["/planning/forecast/"])["/planning/forecast/"]


def draw():
    drawing.draw_where_it_moved(timezone.localdate(), timezone.now())


def _reading():
    inputs._forecast.cache_clear()
    kept_finishes._finishes.clear()
    today = timezone.localdate()
    return replace(inputs.read_shop(today, every=every_job(today)))  # one that holds no forecast yet


def test_a_block_of_today_that_is_kept_reads_nothing_but_the_database_and_the_day(monkeypatch):
    shop, today = Shop(), timezone.localdate()
    shop.chase(None)
    reader = Viewer(shop.person, today, frozenset())
    hours = [timezone.make_aware(datetime.combine(today, time(*at))) for at in ((0, 1), (23, 58))]
    said = []
    for at in hours:
        monkeypatch.setattr(timezone, "now", lambda at=at: at)
        with from_nothing():
            said.append([(panel.title, repr(panel.read(reader))) for panel in panels() if not panel.moves])
    assert said[0] == said[1]
