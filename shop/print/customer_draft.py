"""Drafts of letters to a customer, from the record of a job: that it comes later, or that it is ready.

Neither says more than the record: "later" only where the forecast or a part says so, "ready" only of a job that nothing
keeps open.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.roles import Person, person_name
from shop.base.shop_details import shop
from shop.base.written import written_as_usual
from shop.jobs.job_status import JobStatus
from shop.jobs.models import Job
from shop.jobs.standing import listed, open_jobs
from shop.orders.letter import Letter, answer_by, letter_text, text_table
from shop.orders.letter_days import letter_day, weekday_of
from shop.orders.models import OrderLine
from shop.planning.forecast_text import ShownFinish, how_late, show_finishes
from shop.planning.outlook import outlook_today

if TYPE_CHECKING:
    from shop.planning.inputs import ShopForecast

    ReadShop = Callable[[date], ShopForecast]

MOST_STEPS = 40
# Common practice, no source: what a customer is told who drives away a vehicle whose driveline was apart.
ON_THE_ROAD = gettext_lazy(
    "Before the first long drive please have the wheel nuts tightened again to their torque, after 50 to 100 km. If "
    "anything slips, knocks, leaks or shakes, stop and call us. Which changes must be entered in the papers, and what "
    "the inspectors ask for, local rules decide."
)


@dataclass(frozen=True)
class CustomerLetterKind:
    """One kind of letter to a customer: `about` in the address, what a link says, what drafts it."""

    about: str
    title: str
    write: Callable[[Job, str, date, ReadShop], Letter]


@written_as_usual()
def draft_customer_letter(job: Job, about: str, person: Person, today: date, read_shop: ReadShop) -> Letter:
    """Draft the letter of that kind. Raises ValidationError where the record does not bear it out."""
    kind = next((kind for kind in CUSTOMER_LETTERS if kind.about == about), CUSTOMER_LETTERS[0])
    return kind.write(job, f"{person_name(person)}\n{shop().name}", today, read_shop)


def _delay(job: Job, signed: str, today: date, read_shop: ReadShop) -> Letter:
    if _state_of(job).is_done:
        raise ValidationError(gettext("{job} is done: there is no delay to tell of.").format(job=job))
    reading = read_shop(today)
    finish = next((one for one in show_finishes(reading, outlook_today(reading)) if one.job.pk == job.pk), None)
    late = _late_parts(job, today)
    if finish and not finish.late and not late:
        if job.wanted_by is None:
            raise ValidationError(gettext("No day is wanted for {job}: there is no delay to tell of.").format(job=job))
        said = gettext("{job} is {how_late}: there is no delay to tell of.")
        raise ValidationError(said.format(job=job, how_late=how_late(finish, job.wanted_by)))
    wanted = (
        gettext("you wanted it by {letter_day}. ").format(letter_day=letter_day(job.wanted_by)) if job.wanted_by else ""
    )
    body = letter_text(
        job.vehicle.customer.name,
        gettext(
            "your vehicle {vehicle} will be ready later than we hoped; {value}The work: {title}. {expected}"
        ).format(
            vehicle=job.vehicle,
            value=wanted or gettext("we are sorry. "),
            title=job.title,
            expected=_expected(finish, today),
        ),
        *(
            [text_table([(gettext("What we wait for"), gettext("First promised"), gettext("Now promised")), *late])]
            if late
            else []
        ),
        gettext(
            "We are sorry for the delay. Please tell us if you need the vehicle on a certain day, so that we can see "
            "what "
            "can be done."
        ),
        signed=signed,
    )
    return Letter(gettext("{vehicle}: ready later than planned").format(vehicle=job.vehicle), body)


def _expected(finish: ShownFinish | None, today: date) -> str:
    """The days of today's forecast, or by when we shall name one."""
    if finish is None or finish.p50 is None or finish.p80 is None:
        return gettext("We cannot name a day yet, and will tell you more by {weekday_of}.").format(
            weekday_of=weekday_of(answer_by(today))
        )
    likely, most = letter_day(finish.p50), letter_day(finish.p80)
    if likely == most:
        return gettext("By today's reckoning it is ready on {likely}; this is no promise.").format(likely=likely)
    return gettext("By today's reckoning it is ready between {likely} and {most}; this is no promise.").format(
        likely=likely, most=most
    )


def _late_parts(job: Job, today: date) -> Sequence[tuple[str, str, str]]:
    """The parts of a job past their day, with the days given; suppliers and prices are no customer's affair."""
    lines = OrderLine.objects.overdue(today).with_story().filter(part_need__step__job=job)
    return [_days(line, today) for line in lines]


def _days(line: OrderLine, today: date) -> tuple[str, str, str]:
    given = [promise.latest for promise in line.as_rule().promises if promise.gives_a_date and promise.latest]
    first, last = (given[0], given[-1]) if given else (None, None)
    now = letter_day(last) if last else gettext("no day")
    if last and last < today:
        now = gettext("{letter_day}, passed").format(letter_day=now)
    return line.what, letter_day(first) if first else gettext("no day"), now


def _ready(job: Job, signed: str, today: date, read_shop: ReadShop) -> Letter:
    state = _state_of(job)
    if not state.is_done:
        raise ValidationError(
            gettext("{job} is not done ({words}): nobody is told that the vehicle is ready.").format(
                job=job, words=state.words
            )
        )
    if other := open_jobs(Job.objects.filter(vehicle=job.vehicle).exclude(pk=job.pk)).first():
        raise ValidationError(
            gettext("{other} is not done either: nobody is told that the vehicle is ready.").format(other=other)
        )
    done = list(job.steps.active().values_list("title", flat=True))
    more = [gettext("and {done} more").format(done=len(done) - MOST_STEPS)] if len(done) > MOST_STEPS else []
    rows = [(title, gettext("done")) for title in (*done[:MOST_STEPS], *more)]
    body = letter_text(
        job.vehicle.customer.name,
        gettext("your vehicle {vehicle} is ready: {title}. This was done:").format(
            vehicle=job.vehicle, title=job.title
        ),
        text_table([(gettext("Work"), gettext("State")), *rows]),
        gettext("Please call us to agree on a day to fetch it; we go through the work with you then."),
        ON_THE_ROAD,
        signed=signed,
    )
    return Letter(gettext("{vehicle}: ready to be fetched").format(vehicle=job.vehicle), body)


def _state_of(job: Job) -> JobStatus:
    return listed(Job.objects.filter(pk=job.pk)).get().state


CUSTOMER_LETTERS = (
    CustomerLetterKind("delay", gettext_lazy("Tell of a delay"), _delay),
    CustomerLetterKind("ready", gettext_lazy("Tell that it is ready"), _ready),
)
