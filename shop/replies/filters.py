"""What the list of replies can be narrowed down to."""

from __future__ import annotations

from typing import Any

import django_filters

from shop.base.filters import DeletableFilters, TextFilter
from shop.base.language import gettext_lazy
from shop.orders.filters import YES_NO
from shop.replies.models import Reply


class ReplyFilters(DeletableFilters):
    words = TextFilter("subject", "sender", "body", "order__number")
    done = django_filters.ChoiceFilter(
        label=gettext_lazy("Dealt with"), choices=YES_NO, empty_label=gettext_lazy("all"), method="only_done"
    )

    class Meta:
        model = Reply
        fields = ["words", "done", "show"]

    def only_done(self, rows: Any, name: str, value: str) -> Any:
        return rows.filter(done_at__isnull=value == "no")
