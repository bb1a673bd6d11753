"""What a letter says besides its words: who writes to whom, under which numbers, on which day, as it was then."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.conf import settings

from shop.base.roles import person_name
from shop.orders.letter import letter_day
from shop.orders.models import Chase
from shop.print.facts import Pair


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


def read_letter(chase: Chase) -> LetterFacts:
    """The letter of a chase, to the supplier as it stood when the letter was written."""
    subject, _, body = chase.text.partition("\n\n")
    supplier, order = _then(chase.order.supplier, chase), _then(chase.order, chase)
    address = [line.strip() for line in supplier.address.splitlines() if line.strip()]
    numbers = (
        ("Our order", order.number),
        ("Your number", order.reference),
        ("Our customer number", supplier.account),
        ("Date", letter_day(chase.on)),
        ("Contact", person_name(chase.person)),
    )
    return LetterFacts(
        owner=settings.SHOP_NAME,
        own_address=tuple(settings.SHOP_POSTAL_ADDRESS),
        reached_by=tuple(settings.SHOP_REACHED_BY),
        foot=settings.SHOP_LETTER_FOOT,
        to=tuple(filter(None, [supplier.name, supplier.contact, *address])),
        numbers=tuple(pair for pair in numbers if pair[1]),
        subject=" ".join(subject.split()),
        body=body.replace("\r\n", "\n"),
        moment=chase.recorded_at,
    )


def _then(record: Any, chase: Chase) -> Any:
    """A record as it stood when the chase was recorded; as it is now where its history begins later."""
    return record.history.filter(history_date__lte=chase.recorded_at).order_by("-history_date", "-pk").first() or record
