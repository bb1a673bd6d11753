"""The list of replies."""

from __future__ import annotations

from shop.base.language import gettext_lazy
from shop.base.tables import Column, MomentColumn, Table
from shop.replies.models import Reply


class Replies(Table):
    on_phone = ("sender", "state", "brought_at")
    says_itself = True
    subject = Column(linkify=True, empty_values=())
    sender = Column(verbose_name=gettext_lazy("From"))
    order = Column(linkify=True, order_by="order__number")
    kind = Column(verbose_name=gettext_lazy("What it is"))
    state = Column(accessor="state_words", verbose_name=gettext_lazy("State"), order_by="done_at")
    brought_at = MomentColumn(verbose_name=gettext_lazy("Taken in"))

    empty = gettext_lazy("No reply was taken in.")
    empty_action = ("replies:reply-new", gettext_lazy("Add message"))
    new = ("replies:reply-new", gettext_lazy("Add message"))

    class Meta(Table.Meta):
        model = Reply
        fields = ["subject", "sender", "order", "kind", "state", "brought_at"]
        order_by = "-brought_at"

    def render_subject(self, record: Reply) -> str:
        return str(record)

    def render_kind(self, record: Reply) -> str:
        return record.kind_words

    value_subject = render_subject
    value_kind = render_kind
