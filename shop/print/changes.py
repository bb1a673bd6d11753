"""Printing: facts read and laid out, then kept with the very bytes in one short transaction."""

from __future__ import annotations

import hashlib
from collections.abc import Hashable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.conf import settings
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction
from django.urls import reverse
from django.utils.timezone import localtime
from django.utils.translation import gettext, override

from shop.base import search_index, written
from shop.base.restores import number_after_restores
from shop.base.roles import Person, person_name, require
from shop.base.shop_details import shop
from shop.base.state_mark import is_unchanged_since, mark
from shop.base.unchanged import while_unchanged
from shop.jobs.models import Job
from shop.orders.outbox import put_in_outbox
from shop.print.facts import Heading, form_words, freeze, thaw
from shop.print.kinds import SheetKind, sheet_kinds
from shop.print.models import CustomerLetter, PrintedSheet
from shop.worksheets.models import Worksheet
from specs.apart import done_apart
from specs.engine.units import System

TRIES = 3
MOST_ENTRIES = 10_000
"""More are not laid out while somebody waits: about 3 s of work, a card of a thousand steps."""


class SheetMoved(ValidationError):
    """What the sheet says, or its number, changed while it was laid out: nothing was kept, lay it out again."""

    def __init__(self) -> None:
        super().__init__(gettext("Somebody changes this just now. Print it again in a moment."))


@dataclass(frozen=True)
class LaidOutSheet:
    """A sheet laid out and not kept yet, with what it was made of."""

    sheet: PrintedSheet
    kind: SheetKind
    heading: Heading
    system: System
    read_under: Hashable | None = None

    @property
    def is_current(self) -> bool:
        """Whether the record says today what the sheet says; read once more unless nobody wrote anything since."""
        return is_unchanged_since(self.read_under) or self.facts_now() == self.sheet.facts

    def facts_now(self) -> dict[str, Any]:
        """Read the facts once more, as the record is now."""
        return facts_of(self.kind, self.sheet.subject, self.heading, self.system, localtime(self.sheet.at).date())


def facts_of(kind: SheetKind, subject: Any, heading: Heading, system: System, today: date) -> dict[str, Any]:
    """The facts of a sheet as its record is now, under a heading that stays but for title and revision.

    Figures, days and words are written as the heading says: a sheet keeps the form and the language that it was
    printed in, and is compared with the record in those for all readers alike.
    """
    with _written_as(heading):
        facts = _facts_today(kind.name, subject.pk, system, today)
        told = facts["heading"]
        return {**facts, "heading": {**freeze(heading), "title": told["title"], "revision": told["revision"]}}


@contextmanager
def _written_as(heading: Heading) -> Iterator[None]:
    """Write as the sheet of that heading is written. An older one was in the shop's language."""
    with override(heading.language or settings.LANGUAGE_CODE), written.written_as(heading.form):
        yield


@while_unchanged
def _facts_today(kind: str, pk: int, system: System, today: date) -> dict[str, Any]:
    """The facts of a sheet of a kind, by its name, under a heading that says only what it is of."""
    found = sheet_kinds()[kind]
    subject = found.model._default_manager.get(pk=pk)
    heading = Heading(str(subject), "", "", "", "", "", "", revision=_revision(subject))
    return freeze(found.read(subject, heading, system, today))


def why_deleted(subject: Any) -> str:
    """Say why what a sheet is of, or the job that it belongs to, was deleted; "" while both are there."""
    records: tuple[Any, ...] = (subject, getattr(subject, "job", None))
    return next((str(one.deleted_reason) for one in records if getattr(one, "deleted_at", None)), "")


def print_sheet(*, kind: SheetKind, subject: models.Model, person: Person, **given: Any) -> PrintedSheet:
    """Print a sheet of a record: its facts as they are now, kept with the PDF that was made of them.

    Takes what `lay_out_sheet` takes. Raises SheetMoved where the record keeps changing meanwhile.
    """
    for tries_left in reversed(range(TRIES)):
        laid_out = lay_out_sheet(kind=kind, subject=subject, person=person, **given)
        try:
            return keep_sheet(laid_out, person=person)
        except SheetMoved:
            if not tries_left:
                raise
    raise AssertionError(gettext("the last try returns or raises"))


def lay_out_sheet(
    *, kind: SheetKind, subject: models.Model, person: Person, paper: str, system: System, site: str, now: datetime
) -> LaidOutSheet:
    """Read the facts of a sheet and lay it out: this takes a while, and holds no lock.

    site: the address of this site, such as "https://shop.example/", for the code on the sheet; "" where it has none
    that another device reaches.
    """
    require(person, "print.print")
    if deleted := why_deleted(subject):
        raise ValidationError(gettext("Nothing is printed of what was deleted: {deleted}.").format(deleted=deleted))
    if paper not in kind.papers:
        raise ValueError(gettext("There is no paper {paper} here.").format(paper=f"{paper!r}"))
    read_under = mark()
    with override(settings.LANGUAGE_CODE):  # of whoever is at the bench, not of who presses the button
        heading = _heading(kind, subject, person, site, now)
    facts = facts_of(kind, subject, heading, system, localtime(now).date())
    _refuse_too_long(facts)
    pdf = lay_out(kind, facts, paper)
    sheet = PrintedSheet(  # type: ignore[misc]
        kind=kind.name,
        number=heading.number,
        title=heading.title[:200],
        paper=paper,
        facts=facts,
        pdf=pdf,
        sha256=hashlib.sha256(pdf).hexdigest(),
        person_id=person.pk,
        at=now,
        **{kind.subject: subject},
    )
    return LaidOutSheet(sheet, kind, heading, system, read_under)


def _refuse_too_long(facts: dict[str, Any]) -> None:
    if (entries := _entries(facts)) > MOST_ENTRIES:
        raise ValidationError(
            gettext(
                "This sheet would hold {entries} entries; no more than {MOST_ENTRIES} go on one. "
                "Print less at a time: the cards of the steps, or a job or component divided in two."
            ).format(entries=entries, MOST_ENTRIES=MOST_ENTRIES)
        )


def _entries(facts: Any) -> int:
    """How many single entries are in the facts of a sheet."""
    if isinstance(facts, dict):
        return sum(map(_entries, facts.values()))
    return sum(map(_entries, facts)) if isinstance(facts, list | tuple) else 1


@transaction.atomic
def keep_sheet(laid_out: LaidOutSheet, *, person: Person) -> PrintedSheet:
    """Keep a sheet that was laid out. Raises SheetMoved where its facts are others by now, or its number is taken."""
    require(person, "print.print")
    try:
        with transaction.atomic():
            laid_out.sheet.save(force_insert=True)
            search_index.keep(laid_out.sheet)
    except IntegrityError:
        raise SheetMoved from None
    if not laid_out.is_current:
        raise SheetMoved
    return laid_out.sheet


@transaction.atomic
def write_to_customer(
    job: Job, *, by_mail: bool, to: str, subject: str, body: str, person: User, today: date
) -> CustomerLetter:
    """Keep a letter to a job's customer as it is sent; by mail it goes into the outbox in the same words."""
    require(person, "print.write")
    letter = CustomerLetter(
        job=job,
        on=today,
        how="mail" if by_mail else "letter",
        to=to if by_mail else "",
        subject=" ".join(subject.split()),
        body=body.replace("\r\n", "\n"),
        person_id=person.pk,
    )
    letter.full_clean(exclude=["person"])
    letter.save(force_insert=True)
    if by_mail:
        put_in_outbox(to=to, subject=letter.subject, body=letter.body, person=person)
    return letter


def lay_out(kind: SheetKind, facts: dict[str, Any], paper: str) -> bytes:
    """Draw the PDF of kept facts: the same facts give the same bytes."""
    return _drawn(kind.name, facts, paper)


@done_apart
def _drawn(kind: str, facts: dict[str, Any], paper: str) -> bytes:
    of_kind = sheet_kinds()[kind]
    found = thaw(of_kind.facts, facts)
    with _written_as(found.heading):
        return of_kind.draw(found, paper)


def file_heading(worksheet: Worksheet, *, now: datetime, content: str = "") -> Heading:
    """A heading for what is not printed but handed out as a file: which worksheet in which version, and when.

    content: a mark of what it says today, so that two files that differ never share a number: readings move a plate
    without a new version.
    """
    number, day = (
        gettext("W{pk} version {version}").format(pk=worksheet.pk, version=worksheet.version),
        written.moment(localtime(now)),
    )
    number += f" {content[:6]}" if content else ""
    return Heading(str(worksheet), "file", number, day, "", shop().name, "")


def _heading(kind: SheetKind, subject: models.Model, person: Person, site: str, now: datetime) -> Heading:
    before = PrintedSheet.objects.filter(kind=kind.name, **{kind.subject: subject}).count()
    number = f"{kind.prefix}{subject.pk}-{number_after_restores(before)}"  # the unique constraint settles a tie
    return Heading(
        title=str(subject),
        document_type=kind.title,
        number=number,
        date=written.moment(localtime(now)),
        made_by=person_name(person),
        owner=shop().name,
        address=f"{site.rstrip('/')}{reverse('s:number', args=[number])}" if site else "",
        revision=_revision(subject),
        written=form_words(written.form()),
        language=settings.LANGUAGE_CODE,
        at=localtime(now).isoformat(timespec="minutes"),
    )


def _revision(subject: models.Model) -> str:
    return str(getattr(subject, "version", "") or "")
