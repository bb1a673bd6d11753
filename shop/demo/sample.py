"""The invented workshop as sample data in a real one: taken in whole, and taken out whole.

Every row that it brought in lies between two keys of its kind (`SampleRange`), since nobody else writes meanwhile:
SQLite has one writer, and PostgreSQL's tables are locked for it. What real people made since, and still counts, is
never taken out with it: it is named, and the sample data stays until that is deleted.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import partial

from django.apps import apps
from django.contrib.auth.models import Group, User
from django.core.exceptions import MultipleObjectsReturned, ObjectDoesNotExist, ValidationError
from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import FileField, Model
from django.utils.translation import gettext, ngettext

from shop.base import search_index
from shop.base.models import LongWork, SampleRange
from shop.base.roles import OWNER, require
from shop.base.sample import sample_is_in
from shop.demo.making import make_world
from shop.demo.ranges import kinds, lock, sample_rows
from shop.demo.resting import Going
from shop.demo.world import PEOPLE, World
from shop.jobs.changes.templates import bring_in_shipped

SAMPLE_WORK = "demo.sample"
"""The long work that takes it in."""
NAMED = 5
"""So many of the records that rest on sample data are named; the rest is counted."""


@transaction.atomic
def take_in(*, person: User, today: date) -> None:
    """Bring in the invented workshop. Its owner is the person who asks; nobody can sign in as its other people.

    Raises ValidationError where it is in already, or where records of the shop have the names that it needs.
    """
    require(person, "people.manage")
    lock()
    if sample_is_in():
        raise ValidationError("The sample data is here already.")
    bring_in_shipped(person=person)  # They come with the site, and stay when the sample data goes.
    try:
        with sample_rows():
            make_world(World(today, _people(person)))
    except (MultipleObjectsReturned, ObjectDoesNotExist, ValidationError):
        words = "Records of this shop have names that the sample data uses. It is for a shop that is still empty."
        raise ValidationError(words) from None
    search_index.rebuild()


def _people(owner: User) -> dict[str, User]:
    return {
        name: owner if role == OWNER else _sample_person(name, first, last, role) for name, first, last, role in PEOPLE
    }


def _sample_person(name: str, first: str, last: str, role: str) -> User:
    """A person without a password: whoever reads this program knows the demo's."""
    made = User.objects.create_user(f"sample-{name}", first_name=first, last_name=f"{last} (sample)")
    made.groups.set([Group.objects.get(name=role)])
    return made


@transaction.atomic
def take_out(*, person: User) -> None:
    """Take out all that the sample data brought in, with what was deleted of what real people made of it.

    Raises ValidationError, naming them, where real records rest on it.
    """
    require(person, "people.manage")
    lock()
    ranges = {apps.get_model(one.kind): (one.first, one.last) for one in SampleRange.objects.all()}
    going = Going(ranges, list(kinds()))
    if resting := going.resting():
        more = len(resting) - NAMED
        named = "; ".join(resting[:NAMED]) + (gettext("; and {more} more").format(more=more) if more > 0 else "")
        said = ngettext(
            "{number} record of yours rests on the sample data. Delete first: {named}.",
            "{number} records of yours rest on the sample data. Delete first: {named}.",
            len(resting),
        )
        raise ValidationError(said.format(number=len(resting), named=named))
    files = [name for model in ranges for name in _files(model, going)]
    for model in going.models():
        going.rows(model)._raw_delete("default")
    SampleRange.objects.all().delete()
    LongWork.objects.filter(kind=SAMPLE_WORK).delete()  # or Today would go on saying that it is in
    search_index.rebuild()
    for name in files:
        transaction.on_commit(partial(default_storage.delete, name))


def _files(model: type[Model], going: Going) -> Iterator[str]:
    for field in model._meta.concrete_fields:
        if isinstance(field, FileField):
            yield from going.rows(model).exclude(**{field.name: ""}).values_list(field.name, flat=True)
