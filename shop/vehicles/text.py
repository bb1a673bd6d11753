"""The pieces of a vehicle as rows: what is fitted, what was fitted before."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext

from shop.base.language import capfirst, word
from shop.base.roles import may
from shop.base.rows import Row
from shop.base.written import day
from shop.vehicles.models import Fitted


def fitted_rows(pieces: Iterable[Fitted], person: Any) -> list[Row]:
    """What is fitted now: the piece, its place and since when, and Take out for whoever may. Read `with_component`."""
    can = may(person, "vehicles.manage")
    return [_fitted(piece, reverse("vehicles:fitted-take-out", args=[piece.pk]) if can else "") for piece in pieces]


def _fitted(piece: Fitted, to: str) -> Row:
    since = gettext("since {day}").format(day=day(piece.since)) if piece.since else gettext("came with the vehicle")
    act = gettext("Take out") if to else ""
    return Row("done", piece.specimen, _page_of(piece), _note(piece, since), act=act, to=to, said=gettext("Fitted"))


def taken_out_rows(pieces: Iterable[Fitted]) -> list[Row]:
    """What was fitted before: the piece, its place, from when until when. Read `with_component`."""
    return [_taken_out(piece, piece.until) for piece in pieces if piece.until]


def _taken_out(piece: Fitted, last: date) -> Row:
    until = gettext("until {day}").format(day=day(last))
    stay = f"{day(piece.since)} {until}" if piece.since else until
    return Row("", piece.specimen, _page_of(piece), _note(piece, stay))


def _note(piece: Fitted, when: str) -> str:
    return f"{capfirst(word(piece.place))} · {when}"


def _page_of(piece: Fitted) -> str:
    return reverse("measuring:component", args=[piece.specimen.component_id])
