"""What a browser sends: a form's fields with its token against a second press; and an order that it is sent about."""

from datetime import timedelta
from decimal import Decimal

from django.utils import timezone

from shop.orders.models import OrderLine
from tests.factories.orders import make_line, make_order
from tests.pages import once


def sent(**fields):
    """A create form as sent, with a token of its own."""
    return {**once(), **fields}


def fault(page, field):
    """The words that stand beside a field, or "" """
    start = page.find(f'id="id_{field}_error"')
    return "" if start < 0 else page[start : page.index("</p>", start)]


def old_bolts():
    """A line of eight bolts, ordered forty days ago."""
    order = make_order(ordered_on=timezone.localdate() - timedelta(days=40))
    return make_line(order=order, text="flywheel bolts", quantity=Decimal(8))


def today():
    return timezone.localdate().isoformat()


def left(line):
    return OrderLine.objects.get(pk=line.pk).left
