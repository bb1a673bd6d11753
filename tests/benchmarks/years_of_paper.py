"""Years of paper beside the work of `years_of_work.py`: invoices, printed sheets, letters, replies, lessons, patterns.

Of 100,000 orders: 50,000 invoices, 25,000 letters, as many replies, 20,000 sheets, 10,000 lessons, patterns, mating
features and torque specs each.
"""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

from shop.jobs.models import Lesson
from shop.orders.models import Chase, Delivery, Mail
from shop.payables.models import Invoice, InvoicedDelivery, InvoicedLine
from shop.print.models import PrintedSheet
from shop.replies.models import Reply
from specs.models import Hole, HolePattern, MatingFeature, TorqueSpec
from tests.benchmarks.bulk import noon, put

THING_LEARNED = "The upper bolt is reached from above."


def write_paper(orders: list[Any], jobs: list[Any], components: list[Any], person: Any) -> None:
    """Write what so many orders and jobs leave behind on paper."""
    _invoices(orders[::2], person)
    _letters(orders, person)
    told = {"kind": "job-card", "paper": "A4", "facts": {}, "pdf": b"", "sha256": "", "person": person}
    put(
        PrintedSheet(number=f"{job.pk:06d}", title=f"Job card {job.pk}", job=job, at=noon(job.opened_on), **told)
        for job in jobs
    )
    learned = {"text": THING_LEARNED, "written_by": person}
    put(Lesson(title=f"Lesson {job.pk}", written_on=job.opened_on, **learned) for job in jobs[::2])
    _faces(jobs[::2], components, person)


def _invoices(orders: list[Any], person: Any) -> None:
    invoices = put(
        Invoice(
            supplier=order.supplier,
            number=f"I-{order.number}",
            on=order.ordered_on + timedelta(days=30),
            due=order.ordered_on + timedelta(days=60),
            amount=Decimal("360.00"),
            paid_on=order.ordered_on + timedelta(days=50),
            paid=Decimal("360.00"),
            recorded_by=person,
        )
        for order in orders
    )
    of_order = {invoice.number.removeprefix("I-"): invoice for invoice in invoices}
    came = Delivery.objects.filter(line__order__in=[order.pk for order in orders]).select_related("line__order")
    pairs = [(of_order[one.line.order.number], one) for one in came]
    put(InvoicedLine(invoice=bill, line=one.line, quantity=one.quantity, price=one.line.price) for bill, one in pairs)
    put(InvoicedDelivery(invoice=bill, delivery=one) for bill, one in pairs)


def _letters(orders: list[Any], person: Any) -> None:
    """A letter for each chase, and the supplier's answer."""
    chases = Chase.objects.filter(order__in=[order.pk for order in orders]).order_by("pk")
    said = {"to": "sales@torvik.example", "body": "Where is it?", "written_by": person, "state": "sent"}
    mails = put(
        Mail(
            subject=f"Your order {chase.pk}",
            message_id=f"<{chase.pk}@years.example>",
            chase=chase,
            sent_at=noon(chase.on),
            **said,
        )
        for chase in chases
    )
    put(
        Reply(
            message_id=f"<re-{mail.pk}@torvik.example>",
            sender=mail.to,
            subject=mail.subject,
            mail=mail,
            sent_at=mail.sent_at,
            brought_by=person,
            done_at=mail.sent_at,
            done_by=person,
        )
        for mail in mails
    )


def _faces(jobs: list[Any], components: list[Any], person: Any) -> None:
    """A pattern of four holes, a mating feature and a torque spec a job, spread over the components."""
    of = [(job, components[job.pk % len(components)]) for job in jobs]
    read = {"datum": "the pilot bore", "seen_from": "gearbox", "instrument": "caliper", "person": person}
    patterns = put(
        HolePattern(component=one, face=f"rear face {job.pk}", measured_on=job.opened_on, **read) for job, one in of
    )
    round_hole = {"y": 100, "diameter": 10, "kind": "clearance"}
    put(Hole(pattern=one, name=str(at), x=50 * at, **round_hole) for one in patterns for at in range(4))
    put(MatingFeature(component=one, kind="spline", form="inner", name=f"shaft {job.pk}") for job, one in of)
    bolts = {"thread": "M8", "grade": "8.8", "count": 6, "condition": "dry"}
    put(TorqueSpec(component=one, place=f"cover {job.pk}", **bolts) for job, one in of)
