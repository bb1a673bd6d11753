from collections.abc import Iterable
from typing import Any

from django.contrib.auth.models import User
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shop.base.language import gettext_lazy, word
from shop.base.tables import (
    Column,
    MomentColumn,
    Table,
)
from specs.addresses import page_address


class PeopleTable(Table):
    """Who works here, and in which roles."""

    on_phone = ("username", "is_active", "roles")
    says_itself = True
    name = Column(
        accessor="get_full_name",
        order_by=("last_name", "first_name"),
        linkify=lambda record: page_address("people:person", record.pk),
    )
    username = Column(verbose_name=gettext_lazy("Signs in as"))
    roles = Column(accessor="groups", verbose_name=gettext_lazy("Roles"), orderable=False)
    is_active = Column(verbose_name=gettext_lazy("Works here"))
    signed_in = MomentColumn(verbose_name=gettext_lazy("Last signed in"))
    empty = gettext_lazy("Nobody works here yet.")

    class Meta(Table.Meta):
        model = User
        fields: Iterable[str] = ("name", "username", "roles", "is_active", "signed_in")
        order_by = "name"

    def render_username(self, value: str) -> SafeString:
        return format_html('<span class="on-phone">{} </span>{}', gettext("signs in as"), value)

    def value_username(self, value: str) -> str:
        return value

    def render_is_active(self, value: bool) -> SafeString:
        """Yes or no under its heading; on a phone, which shows no heading, only who has left."""
        words, alone = (gettext("yes"), "") if value else (gettext("no"), gettext("has left"))
        return format_html('<span class="on-a-desk">{}</span><span class="on-phone">{}</span>', words, alone)

    def value_is_active(self, value: bool) -> str:
        return gettext("yes") if value else gettext("no")

    def render_roles(self, value: Any) -> str:
        return ", ".join(sorted(word(group.name) for group in value.all())) or gettext("none")
