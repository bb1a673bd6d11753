"""A write of some rows concerns the questions that read their lots, whichever way it was written, and no others."""

from __future__ import annotations

import random
import secrets
from decimal import Decimal

import pytest
from django.conf import settings
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext
from hypothesis import given
from hypothesis import strategies as st

from shop.base import unchanged
from shop.base.lot_marks import LOT, lots_of
from shop.base.moved_marks import MovedMarks
from shop.base.table_marks import marks_of
from shop.base.unchanged import while_unchanged
from shop.jobs.models import Job, Step
from tests.factories.jobs import make_job, make_step

ON_SQLITE = "sqlite" in settings.DATABASES["default"]["ENGINE"]
STEP = '"jobs_step"."id", "jobs_step"."title" FROM "jobs_step"'


@pytest.mark.parametrize(
    ("question", "params", "lots"),
    [
        (f'SELECT {STEP} WHERE "jobs_step"."job_id" IN (%s, %s)', (1, LOT), {"job_id/0", "job_id/1"}),
        (f'SELECT {STEP} WHERE ("jobs_step"."deleted_at" IS NULL AND "jobs_step"."job_id" = %s)', (1,), {"job_id/0"}),
        (f'SELECT %s AS "a", {STEP} WHERE ("jobs_step"."id" IN (%s)) ORDER BY 1', (5, LOT), {"id/1"}),
        (f'SELECT {STEP} WHERE (("jobs_step"."id" >= %s AND "jobs_step"."id" < %s))', (LOT, 2 * LOT), {"id/1"}),
        (f'SELECT {STEP} WHERE "jobs_step"."id" >= %s', (1,), None),
        (f'SELECT {STEP} WHERE ("jobs_step"."id" >= %s AND "jobs_step"."id" < %s)', (0, LOT * 10_000), None),
        (f'SELECT {STEP} WHERE ("jobs_step"."job_id" = %s OR "jobs_step"."hazard" = %s)', (1, "runs"), None),
        (f'SELECT {STEP} WHERE NOT ("jobs_step"."job_id" = %s)', (1,), None),
        (f'SELECT {STEP} WHERE NOT ("jobs_step"."job_id" IN (%s) AND "jobs_step"."id" = %s)', (1, 1), None),
        (f'SELECT {STEP} WHERE ("jobs_step"."title" = %s AND ("jobs_step"."id" = %s))', ("a", 1), {"id/0"}),
        (f'SELECT {STEP} WHERE ("jobs_step"."title" = %s AND NOT ("jobs_step"."id" = %s))', ("a", 1), None),
        (f'SELECT {STEP} WHERE "jobs_step"."title" = \'(\' OR "jobs_step"."job_id" = %s', (1,), None),
        (f'SELECT {STEP} WHERE "jobs_step"."person_id" = %s', (1,), None),
        (f'SELECT {STEP} WHERE "jobs_step"."job_id" = %s', ("1",), None),
        (f'SELECT {STEP} WHERE "jobs_step"."job_id" = %s', None, None),
        (f'SELECT {STEP}, "jobs_step" WHERE "jobs_step"."job_id" = %s', (1,), None),
        (f'SELECT {STEP} U0 WHERE "jobs_step"."job_id" = %s', (1,), None),
        (f'SELECT {STEP} WHERE "jobs_step"."job_id" = %s UNION SELECT {STEP}', (1,), None),
        (f'SELECT {STEP} WHERE ("jobs_step"."job_id" = %s AND EXISTS(SELECT 1 FROM "jobs_step" U0))', (1,), None),
        (f'SELECT (SELECT 1 FROM "jobs_step" U0), {STEP} WHERE "jobs_step"."job_id" = %s', (1,), None),
        (f'SELECT COUNT(*) FILTER (WHERE "jobs_step"."id" = %s), {STEP}', (1,), None),
    ],
)
def test_a_question_reads_the_lots_that_its_words_say_and_else_any(question, params, lots):
    named = None if lots is None else {f"jobs_step.{lot}" for lot in lots} | {"jobs_step.*"}
    assert lots_of("jobs_step", question, params) == named


@given(st.integers(0, 200_000), st.integers(1, 63_000), st.integers(0, 270_000))
def test_a_range_rests_on_blocks_that_come_to_its_lots_and_no_others(first, count, written):
    question = f'SELECT {STEP} WHERE ("jobs_step"."id" >= %s AND "jobs_step"."id" < %s)'
    named = lots_of("jobs_step", question, (first, first + count))
    moved = MovedMarks()
    moved.come_to_the_next([f"jobs_step.id/{written // LOT}"])
    is_read = first // LOT <= written // LOT <= (first + count - 1) // LOT
    assert moved.stand_since(1, named) is not is_read
    assert len(named) <= 20


def test_a_join_leads_from_the_values_of_one_table_to_those_of_the_other():
    need = '"jobs_partneed"."id" FROM "jobs_partneed" INNER JOIN "jobs_step" ON ("jobs_partneed"."step_id" = '
    question = f'SELECT {need}"jobs_step"."id") WHERE "jobs_partneed"."step_id" IN (%s, %s)'
    assert marks_of(question, (1, 2)) == {
        "jobs_partneed.*",
        "jobs_partneed.step_id/0",
        "jobs_step.*",
        "jobs_step.id/0",
    }


def move(drawn, steps, jobs):
    Step.objects.filter(pk=drawn.choice(steps).pk).update(job=drawn.choice(jobs))


def rename(drawn, steps, jobs):
    Step.objects.filter(pk=drawn.choice(steps).pk).update(title=f"Step {drawn.random()}")


def add_many(drawn, steps, jobs):
    made = [Step(job=drawn.choice(jobs), title=f"Many {at}", hours_estimated=Decimal(1)) for at in range(3)]
    Step.objects.bulk_create(made, ignore_conflicts=drawn.random() < 0.5)


def delete(drawn, steps, jobs):
    Step.objects.filter(title__startswith="Many", job=drawn.choice(jobs))._raw_delete("default")


def save(drawn, steps, jobs):
    step = Step.objects.get(pk=drawn.choice(steps).pk)
    step.title = f"Saved {drawn.random()}"
    step.save()


def by_hand(drawn, steps, jobs):
    with connection.cursor() as cursor:
        cursor.execute("UPDATE jobs_step SET title = %s WHERE id = %s", [f"{drawn.random()}", drawn.choice(steps).pk])


def replace(drawn, steps, jobs):
    """SQLite deletes the row that is replaced, and tells no trigger of it."""
    key, job = drawn.choice(steps).pk, drawn.choice(jobs).pk
    names = [field.column for field in Step._meta.local_concrete_fields]
    values = ", ".join({"id": str(key), "job_id": str(job)}.get(name, f'"{name}"') for name in names)
    columns = ", ".join(f'"{name}"' for name in names)
    with connection.cursor() as cursor:
        cursor.execute(f"REPLACE INTO jobs_step ({columns}) SELECT {values} FROM jobs_step WHERE id = {key}")


WAYS = (move, rename, add_many, delete, save, by_hand, *((replace,) if ON_SQLITE else ()))


@while_unchanged
def titles(jobs: tuple[int, ...]) -> tuple[tuple[int, str], ...]:
    return tuple(Step.objects.filter(job__in=jobs).order_by("pk").values_list("pk", "title"))


@while_unchanged
def by_step(steps: tuple[int, ...]) -> tuple[tuple[int, int], ...]:
    return tuple(Step.objects.filter(pk__in=steps).order_by("pk").values_list("job", "pk"))


@while_unchanged
def in_range(first: int, end: int) -> tuple[tuple[int, str], ...]:
    steps = Step.objects.filter(pk__gte=first, pk__lt=end).order_by("pk")
    return tuple(steps.values_list("pk", "title"))


@while_unchanged
def all_of(jobs: tuple[int, ...]) -> tuple[tuple[int, str], ...]:
    """Rests on what others rest on."""
    return tuple(one for job in jobs for one in titles((job,)))


@pytest.fixture(autouse=True)
def nothing_kept(monkeypatch):
    monkeypatch.setattr(unchanged, "_KEPT", unchanged._Kept())


def two_lots() -> tuple[list[Job], list[Step]]:
    """Jobs in two lots, each with a step of a lot of its own."""
    first = make_job()
    jobs = [first, make_job(pk=first.pk + 1), make_job(pk=first.pk + LOT), make_job(pk=first.pk + 2 * LOT)]
    start = make_step(job=first).pk
    return jobs, [make_step(job=job, pk=start + (at + 1) * LOT) for at, job in enumerate(jobs)]


def asked(ask) -> int:
    with CaptureQueriesContext(connection) as captured:
        ask()
    return len([query for query in captured if "jobs_step" in query["sql"].partition("pg_")[0]])


@pytest.mark.django_db(transaction=True)
def test_what_was_written_of_other_lots_has_nothing_asked_again():
    jobs, steps = two_lots()
    ask = lambda: (titles((jobs[0].pk,)), by_step((steps[0].pk,)))  # noqa: E731
    ask()
    for written in (
        lambda: Step.objects.filter(pk=steps[2].pk).update(title="Called otherwise"),
        lambda: make_step(job=jobs[2], title="One more", pk=steps[3].pk + LOT),
        lambda: Step.objects.filter(pk=steps[2].pk).update(job=jobs[3]),
    ):
        written()
        assert asked(ask) == 0
    Step.objects.filter(pk=steps[2].pk).update(job=jobs[0])
    assert asked(ask) > 0


@pytest.mark.django_db(transaction=True)
def test_what_is_kept_of_rows_is_what_is_there_after_any_history_of_writes():
    seed = secrets.randbelow(10**6)
    drawn, (jobs, steps) = random.Random(seed), two_lots()
    first = steps[0].pk

    def kept():
        of_jobs = [titles((job.pk,)) for job in jobs], all_of(tuple(job.pk for job in jobs))
        return (
            of_jobs,
            [by_step((step.pk,)) for step in steps],
            in_range(first, first + LOT),
            in_range(first, first + 1),
            in_range(0, first + 200 * LOT),
            in_range(first - 1, first + 3 * LOT),
            [in_range(at * 4 * LOT, (at + 1) * 4 * LOT) for at in range(first // (4 * LOT) + 3)],
        )

    for _ in range(20):
        ways = drawn.sample(WAYS, 2)
        with transaction.atomic():  # what marked lots is itself taken back
            drawn.choice(ways)(drawn, steps, jobs)
            transaction.set_rollback(drawn.random() < 0.7)
        if drawn.random() < 0.5:
            for way in ways:
                way(drawn, steps, jobs)
        else:
            with transaction.atomic():
                for way in ways:
                    way(drawn, steps, jobs)
        told = kept()
        with pytest.MonkeyPatch.context() as patched:
            patched.setattr(unchanged, "_KEPT", unchanged._Kept())
            assert told == kept(), f"after {[way.__name__ for way in ways]}, seed {seed}"


@pytest.mark.django_db
def test_the_questions_about_jobs_name_the_lots_they_read():
    keys, steps = [1, 2], [5, 6]
    for question in (
        Job.objects.active().filter(pk__gte=0, pk__lt=LOT).values_list("pk"),
        Step.objects.active().filter(job__in=keys),
        Step.objects.filter(pk__in=steps).only("job_id"),
    ):
        sql, params = question.query.sql_with_params()
        marks = marks_of(sql, params)
        assert not {"jobs_step", "jobs_job"} & marks, sql
