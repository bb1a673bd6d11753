from django.utils.translation import gettext

from shop.base.search import Searched
from shop.orders.models import Order
from shop.replies.models import Reply

MOST_WORDS = 2000
"""Letters of a reply that it is found by: what a person wrote stands before what they quote."""


def _note(reply: Reply) -> str:
    about = (
        gettext("order {order}").format(order=reply.order) if reply.order else gettext("about no order that it names")
    )
    return f"{reply.sender} · {about} · {reply.state_words}"


SEARCHED = [
    Searched(
        "Reply",
        67,
        Reply,
        words=lambda reply: (reply.subject, reply.sender, reply.body[:MOST_WORDS]),
        numbers=lambda reply: (reply.order.number,) if reply.order else (),
        note=_note,
        read=lambda rows: rows.select_related("order"),
        told_by=((Order, lambda order: order.replies.values_list("pk", flat=True)),),
        action="orders.chase",
    )
]
