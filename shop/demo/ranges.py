"""Marking what the invented workshop brings in: of each kind of row, the first and the last key."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.apps import apps
from django.contrib.auth.models import User
from django.db import connection
from django.db.models import AutoField, Max, Model

from shop.base.models import SampleRange

# Written anew from the records, or about the site and no part of its world.
LEFT_ALONE = {
    "base.searchentry",
    "base.printednumber",
    "base.samplerange",
    "base.submittedform",
    "base.interruptedform",
    "base.longwork",
}


def kinds() -> Iterator[type[Model]]:
    """Every kind of row that the world is made of: ours with its histories and links, and people with their roles."""
    yield from (User, User.groups.through)
    for app in apps.get_app_configs():
        if app.name.split(".")[0] in ("shop", "specs"):
            for model in app.get_models(include_auto_created=True):
                if model._meta.label_lower not in LEFT_ALONE and isinstance(model._meta.pk, AutoField):
                    yield model


@contextmanager
def sample_rows() -> Iterator[None]:
    """Mark every row that is written in the block as sample data. Inside a transaction, under `lock`."""
    before = {model: _last(model) for model in kinds()}
    yield
    for model, last in before.items():
        if (now := _last(model)) > last:
            SampleRange.objects.create(kind=model._meta.label_lower, first=last + 1, last=now)


def lock() -> None:
    """Keep everybody else from writing until the transaction ends."""
    if connection.vendor == "postgresql":  # SQLite has one writer at a time
        names = ", ".join(connection.ops.quote_name(model._meta.db_table) for model in kinds())
        with connection.cursor() as cursor:
            cursor.execute(f"LOCK TABLE {names} IN SHARE ROW EXCLUSIVE MODE")


def _last(model: type[Model]) -> int:
    return model._base_manager.aggregate(last=Max("pk"))["last"] or 0
