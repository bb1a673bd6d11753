"""Worksheets that are put together of kept parts stand as those that are read at once, whatever was written."""

from __future__ import annotations

import random
import secrets

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.base import unchanged
from shop.base.asked_again import listening
from shop.vehicles.models import Fitted
from shop.worksheets.evaluation import EvaluatedWorksheet, work_out
from shop.worksheets.lines import page_of
from shop.worksheets.models import Worksheet, WorksheetInput
from shop.worksheets.text import status_text
from shop.worksheets.texts_today import texts_today
from shop.worksheets.today import briefs, states_today
from shop.worksheets.views.worksheet import page_today
from shop.worksheets.what_states_read import for_states
from specs.models import Component, Measurement
from tests.factories.jobs import make_job, make_step
from tests.factories.measuring import make_component, make_dimension, make_pattern, make_reading, make_specimen
from tests.factories.people import make_person
from tests.factories.vehicles import make_fitted
from tests.factories.worksheets import accepted_worksheet, make_worksheet, moved

pytestmark = pytest.mark.django_db(transaction=True)


class Shop:
    def __init__(self) -> None:
        self.person, self.other = (make_person(username=name, roles=["fitter"]) for name in ("ama", "tibor"))
        self.component = make_component(name="QZ-5")
        self.size = make_dimension(component=self.component, name="extension")
        make_reading(dimension=self.size, mm=50, person=self.person)
        make_dimension(component=self.component, name="wrench length")
        given = {"target": "100 N*m", "wrench_length": "400 mm", "extension": self.size}
        self.sheet = accepted_worksheet(self.person, inputs=given, component=self.component)
        self.job = make_job()
        self.job.worksheets.add(self.sheet)
        self.last_step = make_step(job=self.job, title="Give it back", hazard="hands over")
        self.pattern = make_pattern(component=self.component, person=self.person)
        make_worksheet(calculation="plate-layout", inputs={"engine": self.pattern}, person=self.other)
        self.keys = tuple(Worksheet.objects.values_list("pk", flat=True))

    def rename(self, drawn):
        who = drawn.choice([self.person, self.other])
        type(who).objects.filter(pk=who.pk).update(last_name=f"Darrow {drawn.random()}")

    def measure(self, drawn):
        make_reading(dimension=self.size, mm=drawn.choice([50, 51, 80]), person=drawn.choice([self.person, self.other]))

    def measure_beside(self, drawn):
        beside = self.component.dimensions.get(name="wrench length")
        make_reading(dimension=beside, mm=drawn.choice([400, 420]))

    def forget_a_reading(self, drawn):
        told = {"deleted_at": timezone.now(), "deleted_by": self.other, "deleted_reason": "slipped"}
        Measurement.objects.filter(pk=Measurement.objects.latest("pk").pk).update(**told)

    def type_another(self, drawn):
        moved(self.sheet, "target", f"{drawn.randint(80, 120)} N*m")

    def take_nothing_measured(self, drawn):
        WorksheetInput.objects.filter(worksheet=self.sheet, path="extension").update(dimension=None, typed="50 mm")

    def fit_a_piece(self, drawn):
        make_fitted(vehicle=self.job.vehicle, place=f"gearbox {drawn.random()}", since=timezone.localdate())

    def fit_a_piece_of_what_was_measured(self, drawn):
        piece = make_specimen(component=self.component, mark=f"A{drawn.random()}")
        place = f"gearbox {drawn.random()}"
        make_fitted(vehicle=self.job.vehicle, specimen=piece, place=place, since=timezone.localdate())

    def hand_over(self, drawn):
        """Or take it back."""
        at = None if self.last_step.finished_at else timezone.now()
        self.last_step.finished_at, self.last_step.finished_by = at, self.other if at else None
        self.last_step.save()

    def take_a_piece_out(self, drawn):
        Fitted.objects.update(until=timezone.localdate())

    def call_otherwise(self, drawn):
        Component.objects.filter(pk=self.component.pk).update(name=f"QZ-{drawn.random()}")

    def move_a_hole(self, drawn):
        self.pattern.holes.update(x=drawn.random())

    WAYS = (
        *(rename, measure, measure_beside, forget_a_reading, type_another, take_nothing_measured),
        *(fit_a_piece, fit_a_piece_of_what_was_measured, take_a_piece_out, hand_over, call_otherwise, move_a_hole),
    )


def told(states: dict[int, EvaluatedWorksheet]) -> list[tuple[object, ...]]:
    """All that a page says of worksheets, and by whom they were accepted, measured and written."""
    return [
        (
            key,
            status_text(one, "metric") if one.accepted else "",
            one.status,
            one.resolved,
            one.result,
            str(one.worksheet.component),
            one.accepted and one.accepted.person.get_full_name(),
            one.accepted_alone,
            [given.person.get_full_name() for given in one.worksheet.inputs.all()],
        )
        for key, one in sorted(states.items())
    ]


def at_once(keys) -> dict[int, EvaluatedWorksheet]:
    return {sheet.pk: work_out(sheet) for sheet in for_states(Worksheet.objects.filter(pk__in=keys))}


@pytest.fixture(autouse=True)
def nothing_kept(monkeypatch):
    monkeypatch.setattr(unchanged, "_KEPT", unchanged._Kept())


def test_what_is_put_together_of_parts_stands_as_what_is_read_at_once():
    seed = secrets.randbelow(10**6)
    drawn, shop = random.Random(seed), Shop()
    for _ in range(20):
        way = drawn.choice(Shop.WAYS)
        way(shop, drawn)
        now, today = at_once(shop.keys), timezone.localdate()
        assert told(states_today(shop.keys, today)) == told(now), (way.__name__, seed)
        said = {key: status_text(state, "inch") for key, state in now.items()}
        assert texts_today(shop.keys, today, "inch") == said, (way.__name__, seed)
        for key, state in now.items():
            assert page_today(key, "inch", today) == page_of(state, "inch"), (way.__name__, seed)


def test_who_reads_how_worksheets_stand_is_given_what_the_one_before_was_given():
    shop, today = Shop(), timezone.localdate()

    def read() -> list[object]:
        with listening():  # as for a page
            texts = texts_today(shop.keys, today, "metric").values()
            return [*texts, *(page_today(key, "metric", today) for key in shop.keys)]

    read()
    first, second = read(), read()
    assert first
    assert all(one is other for one, other in zip(first, second, strict=True))


def test_whether_worksheets_hold_rests_on_nobody_s_name():
    shop, today = Shop(), timezone.localdate()
    make_reading(dimension=shop.size, mm=51, person=shop.person)
    before = {key: (one.name, one.status) for key, one in briefs(shop.keys, today).items()}
    shop.rename(random.Random(1))
    with CaptureQueriesContext(connection) as captured:
        after = {key: (one.name, one.status) for key, one in briefs(shop.keys, today).items()}
    assert after == before
    assert not any('"auth_user"' in query["sql"] for query in captured)


def test_a_name_has_nothing_read_again_but_names():
    shop = Shop()
    states_today(shop.keys, timezone.localdate())
    shop.rename(random.Random(1))
    with CaptureQueriesContext(connection) as captured:
        states_today(shop.keys, timezone.localdate())
    read = {query["sql"].partition(" FROM ")[2].split()[0] for query in captured if query["sql"].startswith('SELECT "')}
    assert read == {'"auth_user"'}


def test_a_hand_over_has_no_input_read_again_and_counts():
    shop, today = Shop(), timezone.localdate()
    shop.fit_a_piece_of_what_was_measured(random.Random(1))
    assert states_today(shop.keys, today)[shop.sheet.pk].status.doubts, "read of no piece, and the job has one"
    with CaptureQueriesContext(connection) as captured:
        shop.hand_over(random.Random(1))
        written = len(captured)
        assert not states_today(shop.keys, today)[shop.sheet.pk].status.doubts
    read = [query["sql"] for query in captured.captured_queries[written:]]
    assert not any('FROM "worksheets_worksheetinput"' in sql for sql in read)
