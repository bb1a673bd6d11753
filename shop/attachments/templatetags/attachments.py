"""The documents kept with a record, on its page: ``{% load attachments %}``."""

from __future__ import annotations

from typing import Any

from django import template
from django.db.models import Model
from django.urls import reverse

from shop.base.templatetags.base import documents
from shop.base.unchanged import while_unchanged

register = template.Library()


@while_unchanged
def _attached(kind: type[Model], key: int) -> list[Any]:
    owner: Any = kind(pk=key)
    return list(owner.attachments.select_related("attached_by", "deleted_by"))


@register.inclusion_tag("base/_documents.html", takes_context=True)
def attachments_of(context: template.Context, owner: Any) -> dict[str, Any]:
    """The documents of a supplier, job, vehicle or component, in one query: ``{% attachments_of job %}``."""
    kept = _attached(type(owner), owner.pk)
    add = reverse(f"attachments:attachment-new-{owner._meta.model_name}", args=[owner.pk])
    return documents(context, kept, owner=owner, add=add, action="attachments.attach")
