"""The block of the first page that says whom to ask again."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.urls import reverse
from django.utils.translation import gettext

from shop.base import counted
from shop.base.language import gettext_lazy
from shop.base.money import in_money
from shop.base.panels import Block, Panel, Viewer
from shop.base.roles import BUYER, OWNER, may, person_name
from shop.base.rows import Row
from shop.base.seen_by import PART_PRICES
from shop.base.written import count
from shop.orders.approval import amount_of, waiting_for_approval, why_it_waits
from shop.orders.assigned import open_askings
from shop.orders.credits import owed_to_us
from shop.orders.models import Chase, Mail, Order
from shop.orders.owed_text import owed_row
from shop.orders.text import day
from shop.orders.to_order import MissingPart, missing_parts

MOST = 6


def to_chase(reader: Viewer) -> Block:
    """Orders with something to come that the shop meant to ask about again by today, the longest due first."""
    found = open_askings().filter(ask_again_on__lte=reader.today).select_related("order__supplier")
    due = list(found.order_by("ask_again_on", "pk"))
    return Block(
        tuple(_row(chase, reader) for chase in due[:MOST]),
        len(due),
        gettext("Nobody is due to be asked today. The day to ask again is set when a chase is recorded."),
        (reverse("planning:late"), gettext("All late parts")),
    )


def to_approve(reader: Viewer) -> Block | None:
    """Orders above the limit that wait for the owner; no block where none does."""
    rows = [(order, amount_of(order)) for order in waiting_for_approval()]
    waits = [_waiting_row(order, amount) for order, amount in rows if why_it_waits(order, amount)]
    link = (reverse("orders:orders"), gettext("Orders"))
    return Block(tuple(waits[:MOST]), len(waits), gettext("No order waits."), link) if waits else None


def _waiting_row(order: Order, amount: Decimal) -> Row:
    at, name = (
        order.get_absolute_url(),
        gettext("Order {number}, {supplier}").format(number=order.number, supplier=order.supplier),
    )
    figure = in_money(amount, settings.SHOP_CURRENCY)
    return Row(
        "waiting",
        name,
        at,
        gettext("ordered by {person_name}").format(person_name=person_name(order.ordered_by)),
        figure,
        act=gettext("Look"),
        to=at,
    )


def missing(reader: Viewer) -> Block:
    """What has to be ordered, the vehicle wanted first at the head."""
    parts = missing_parts()
    link = (reverse("planning:to-order"), gettext("To order"))
    rows = tuple(_missing_row(part, reader) for part in parts[:MOST])
    return Block(rows, len(parts), gettext("Every part is here or on order."), link)


def _missing_row(part: MissingPart, reader: Viewer) -> Row:
    need, wanted = part.need, part.need.step.job.wanted_by
    note = f"{need.step.job.vehicle.short_name}: {need.step}"
    to = f"{reverse('orders:order-new')}?need={need.pk}"
    under = gettext("wanted {day}").format(day=day(wanted, reader.today)) if wanted else ""
    return Row("waiting", part.name, to, note, count(part.to_buy), under, act=gettext("Order"), to=to)


def _row(chase: Chase, reader: Viewer) -> Row:
    order = chase.order
    said = (
        gettext("last said: {answer}").format(answer=chase.answer) if chase.answer else gettext("no answer on record")
    )
    since = (reader.today - chase.ask_again_on).days  # type: ignore[operator]
    figure, under = (counted.days(since), gettext("overdue")) if since else (gettext("today"), "")
    to = reverse("orders:chase-new", args=[order.pk]) if may(reader.person, "orders.chase") else ""
    name, note = (
        gettext("{supplier}, order {number}").format(supplier=order.supplier, number=order.number),
        gettext("Asked {day}, {said}").format(day=day(chase.on, reader.today), said=said),
    )
    at = order.get_absolute_url()
    return Row("ready", name, at, note, figure, under, red=bool(since), act=gettext("Chase") if to else "", to=to)


def owed(reader: Viewer) -> Block | None:
    """What suppliers owe for returns and cancellations until it came, the longest owed first."""
    found = owed_to_us()
    rows = tuple(owed_row(one, reader.person, reader.today, in_short=True) for one in found[:MOST])
    return Block(rows, len(found), "", (reverse("orders:owed"), gettext("All that is owed"))) if rows else None


def refused_mail(reader: Viewer) -> Block | None:
    """Letters that were refused for good or perhaps never arrived, until somebody decides about each."""
    found = Mail.objects.filter(state__in=(Mail.REFUSED, Mail.PERHAPS)).exclude(chase=None)
    letters = list(found.select_related("chase__order__supplier").order_by("written_at", "pk"))
    rows = tuple(_mail_row(mail) for mail in letters[:MOST])
    return Block(rows, len(letters), "", (reverse("orders:messages"), gettext("All mail"))) if rows else None


def _mail_row(mail: Mail) -> Row:
    at, note = reverse("orders:message", args=[mail.pk]), f"{mail.subject}: {mail.trouble}"
    return Row("fails", f"{mail.to}", at, note, mail.state_words, red=True, act=gettext("Correct"), to=at)


PANELS = [
    Panel(gettext_lazy("To approve"), order=12, read=to_approve, roles=frozenset({OWNER}), seen_by=PART_PRICES),
    Panel(gettext_lazy("Chase today"), order=15, read=to_chase, roles=frozenset({BUYER})),
    Panel(gettext_lazy("Mail that did not arrive"), 12, refused_mail, roles=frozenset({BUYER, OWNER})),
    Panel(gettext_lazy("Owed to us"), 30, owed, roles=frozenset({BUYER, OWNER}), aside=True, seen_by=PART_PRICES),
    Panel(gettext_lazy("To order"), order=60, read=missing, roles=frozenset({BUYER}), aside=True),
]
