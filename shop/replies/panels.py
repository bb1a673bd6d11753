"""The block of the first page that says which replies nobody has dealt with."""

from __future__ import annotations

from django.urls import reverse
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.panels import Block, Panel, Viewer
from shop.base.roles import BUYER
from shop.base.rows import Row
from shop.replies.models import Reply

MOST = 6


def to_read(reader: Viewer) -> Block | None:
    """Replies that nobody has dealt with, the oldest first."""
    rows = Reply.objects.active().filter(done_at=None).select_related("order__supplier").order_by("brought_at", "pk")
    found = list(rows)
    link = (reverse("replies:replies") + "?done=no", gettext("All replies to read"))
    return Block(tuple(_row(one) for one in found[:MOST]), len(found), "", link) if found else None


def _row(reply: Reply) -> Row:
    note = (
        gettext("{supplier}, order {order}").format(supplier=reply.order.supplier, order=reply.order)
        if reply.order
        else gettext("{sender}, about no order").format(sender=reply.sender)
    )
    bounced, at = reply.kind == Reply.BOUNCE, reply.get_absolute_url()
    return Row(
        "fails" if bounced else "ready", str(reply), at, note, reply.kind_words, red=bounced, act=gettext("Read"), to=at
    )


PANELS = [Panel(gettext_lazy("Replies"), 13, to_read, roles=frozenset({BUYER}))]
