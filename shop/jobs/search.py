from collections.abc import Iterable

from shop.base.language import gettext_lazy
from shop.base.search import Searched
from shop.jobs.models import Job, Lesson
from shop.jobs.standing import listed
from shop.vehicles.models import Customer, Vehicle


def _job_words(job: Job) -> tuple[str, ...]:
    vehicle = job.vehicle
    return (vehicle.maker, vehicle.model, vehicle.registration, vehicle.customer.name, job.asked_for)


def _jobs_of(vehicle: Vehicle) -> Iterable[int]:
    return vehicle.jobs.values_list("pk", flat=True)


def _jobs_of_customer(customer: Customer) -> Iterable[int]:
    return Job.objects.filter(vehicle__customer=customer).values_list("pk", flat=True)


SEARCHED = [
    Searched(
        gettext_lazy("Job"),
        20,
        Job,
        words=_job_words,
        numbers=lambda job: (f"J{job.pk}",),
        note=lambda job: f"J{job.pk} · {job.vehicle}",
        state=lambda job: ("done" if job.state.is_done else "", job.state.words),
        read=lambda rows: rows.select_related("vehicle__customer"),
        show=listed,
        told_by=((Vehicle, _jobs_of), (Customer, _jobs_of_customer)),
    ),
    Searched("Lesson", 60, Lesson, words=lambda lesson: (lesson.text,), note=lambda lesson: lesson.text[:100]),
]
