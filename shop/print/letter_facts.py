"""What a letter says besides its words: who writes to whom, under which numbers, on which day, as it was then."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.utils.translation import gettext

from shop.base.roles import person_name
from shop.base.shop_details import shop
from shop.base.written import written_as_usual
from shop.orders.letter_days import letter_day
from shop.orders.models import Chase
from shop.print.facts import Pair
from shop.print.models import CustomerLetter


@dataclass(frozen=True)
class LetterFacts:
    """Everything on a letter. `body` is the text as it was kept: paragraphs, tables as lines with upright strokes.

    `moment` is when it was kept: the file bears it as that of its making.
    """

    owner: str
    own_address: tuple[str, ...]
    reached_by: tuple[str, ...]
    foot: str
    to: tuple[str, ...]
    numbers: tuple[Pair, ...]
    subject: str
    body: str
    moment: datetime | None = None


@written_as_usual()
def read_letter(chase: Chase) -> LetterFacts:
    """The letter of a chase, to the supplier as it stood when the letter was written."""
    subject, _, body = chase.text.partition("\n\n")
    supplier, order = _then(chase.order.supplier, chase), _then(chase.order, chase)
    address = [line.strip() for line in supplier.address.splitlines() if line.strip()]
    numbers: tuple[Pair, ...] = (
        (gettext("Our order"), order.number),
        (gettext("Your number"), order.reference),
        (gettext("Our customer number"), supplier.account),
        (gettext("Date"), letter_day(chase.on)),
        (gettext("Contact"), person_name(chase.person)),
    )
    to = [supplier.name, supplier.contact, *address]
    return _facts(to, numbers, subject, body, chase.recorded_at)


@written_as_usual()
def read_customer_letter(letter: CustomerLetter) -> LetterFacts:
    """A letter about a job, to the customer as the record stood when it was written."""
    job, customer = _then(letter.job, letter), _then(letter.job.vehicle.customer, letter)
    address = [line.strip() for line in customer.address.splitlines() if line.strip()]
    numbers: tuple[Pair, ...] = (
        (gettext("Our job"), f"J{letter.job_id} {job.title}"),
        (gettext("Vehicle"), str(_then(letter.job.vehicle, letter))),
        (gettext("Date"), letter_day(letter.on)),
        (gettext("Contact"), person_name(letter.person)),
    )
    return _facts([customer.name, *address], numbers, letter.subject, letter.body, letter.recorded_at)


def _facts(to: Sequence[str], numbers: Sequence[Pair], subject: str, body: str, moment: datetime) -> LetterFacts:
    """A letter under the shop's own name; what is empty is left out."""
    ours = shop()
    return LetterFacts(
        owner=ours.name,
        own_address=ours.postal_address,
        reached_by=ours.reached_by,
        foot=ours.letter_foot,
        to=tuple(filter(None, to)),
        numbers=tuple(pair for pair in numbers if pair[1]),
        subject=" ".join(subject.split()),
        body=body.replace("\r\n", "\n"),
        moment=moment,
    )


def _then(record: Any, written: Chase | CustomerLetter) -> Any:
    """A record as it stood when the letter was recorded; as it is now where its history begins later."""
    before = record.history.filter(history_date__lte=written.recorded_at).order_by("-history_date", "-pk").first()
    return before.instance if before else record
