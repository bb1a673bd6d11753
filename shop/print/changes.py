"""Printing: facts read, laid out and kept with the very bytes, in one transaction."""

from __future__ import annotations

import hashlib
from datetime import datetime
from typing import Any

from django.conf import settings
from django.db import models, transaction
from django.utils.formats import date_format
from django.utils.timezone import localtime

from shop.base.roles import Person, person_name, require
from shop.print.facts import Heading, freeze, thaw
from shop.print.kinds import SheetKind
from shop.print.models import PrintedSheet
from specs.engine.units import System


@transaction.atomic
def print_sheet(
    *, kind: SheetKind, subject: models.Model, person: Person, paper: str, system: System, address: str, now: datetime
) -> PrintedSheet:
    """Print a sheet of a record: its facts as they stand now, kept with the PDF that was made of them."""
    require(person, "print.print")
    if paper not in kind.papers:
        raise ValueError(f"There is no paper {paper!r} here.")
    heading = _heading(kind, subject, person, address, now)
    facts = freeze(kind.read(subject, heading, system, localtime(now).date()))
    pdf = lay_out(kind, facts, paper)
    return PrintedSheet.objects.create(  # type: ignore[misc]
        kind=kind.name,
        number=heading.number,
        title=str(subject)[:200],
        paper=paper,
        facts=facts,
        pdf=pdf,
        sha256=hashlib.sha256(pdf).hexdigest(),
        person_id=person.pk,
        at=now,
        **{kind.subject: subject},
    )


def lay_out(kind: SheetKind, facts: dict[str, Any], paper: str) -> bytes:
    """The PDF of kept facts: the same facts give the same bytes."""
    told = thaw(kind.facts, facts)
    return kind.draw(told, paper)


def bare_heading(subject: models.Model) -> Heading:
    """A heading for what is not printed but handed out as a file: it has no number and is nobody's statement."""
    return Heading(str(subject), "", "", "", "", settings.SHOP_NAME, "")


def _heading(kind: SheetKind, subject: models.Model, person: Person, address: str, now: datetime) -> Heading:
    stem = f"{kind.prefix}{subject.pk}"
    # Numbers are given inside the transaction that keeps the sheet; the unique constraint settles a tie.
    before = PrintedSheet.objects.filter(kind=kind.name, **{kind.subject: subject}).count()
    return Heading(
        title=str(subject),
        document_type=kind.words,
        number=f"{stem}-{before + 1}",
        date=date_format(localtime(now), "j M Y H:i"),
        made_by=person_name(person),
        owner=settings.SHOP_NAME,
        address=address,
        revision=str(getattr(subject, "version", "") or ""),
    )
