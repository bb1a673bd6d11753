"""What the demo's suppliers wrote back: answers to read, one about no order that it names, a letter that came back."""

from __future__ import annotations

from datetime import UTC, datetime, time
from email.message import EmailMessage
from email.utils import format_datetime
from typing import TYPE_CHECKING
from zlib import crc32

from shop.orders.models import Order, OrderLine
from shop.replies.changes import mark_done, take_in
from shop.replies.models import Reply

if TYPE_CHECKING:
    from shop.demo.world import World

SHOP = "workshop@workshop.example"


def make(world: World) -> None:
    """Take in two answers, a message without our number and a bounce; one answer was dealt with."""
    late = OrderLine.objects.overdue(world.today).filter(order__supplier__insolvent_on=None)
    first, second = list(Order.objects.filter(lines__in=late).distinct().order_by("ordered_on", "pk")[:2])
    done = _answer(world, second, 3, "We are looking into it and will come back to you.")
    mark_done(done, person=world.people["wren"], now=_moment(world, 2))
    _answer(world, first, 1, "The maker has put us back again. We now expect it in three weeks.")
    text = "Please note our new opening hours: Monday to Thursday, 8 to 16."
    _take(world, _message("office@olmstead-castings.example", "New opening hours", text, _moment(world, 1)))
    _take(world, _bounce(second, _moment(world, 1)))


def _moment(world: World, days_ago: int) -> datetime:
    return datetime.combine(world.day(-days_ago), time(9, 12), UTC)


def _answer(world: World, order: Order, days_ago: int, text: str) -> Reply:
    subject = f"Re: Order {order.number}"
    return _take(world, _message(order.supplier.email, subject, text, _moment(world, days_ago)))


def _take(world: World, message: bytes) -> Reply:
    return take_in(message, person=world.people["wren"], now=_moment(world, 0))


def _message(sender: str, subject: str, text: str, at: datetime) -> bytes:
    message = EmailMessage()
    message["From"], message["To"], message["Subject"] = sender, SHOP, subject
    message["Date"] = format_datetime(at)
    message["Message-ID"] = f"<{at:%Y%m%d}.{crc32(subject.encode()):x}@{sender.partition('@')[2]}>"
    message.set_content(text)
    return message.as_bytes()


def _bounce(order: Order, at: datetime) -> bytes:
    """A delivery status notification after RFC 3464 about a letter to an address that is no more."""
    address = order.supplier.email.replace("sales@", "old-sales@")
    host = address.partition("@")[2]
    return f"""\
From: Mail Delivery Subsystem <mailer-daemon@{host}>
To: {SHOP}
Subject: Undelivered mail
Date: {format_datetime(at)}
Message-ID: <{at:%Y%m%d}.undelivered@{host}>
MIME-Version: 1.0
Content-Type: multipart/report; report-type=delivery-status; boundary="part-of-report"

--part-of-report

Your letter about order {order.number} could not be delivered to {address}.

--part-of-report
Content-Type: message/delivery-status

Reporting-MTA: dns; {host}

Final-Recipient: rfc822; {address}
Action: failed
Status: 5.1.1
Diagnostic-Code: smtp; 550 5.1.1 no such mailbox

--part-of-report--
""".encode()
