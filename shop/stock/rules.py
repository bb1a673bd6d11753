"""What may be counted, reserved and taken, and why not, in words: pure rules over plain values."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from math import ceil

from django.utils.translation import gettext

from shop.base.language import word
from shop.base.written import count

NONE = Decimal(0)


def of_unit(quantity: Decimal, unit: str) -> str:
    """Say a quantity in its unit: "3", "1.5 m"; pieces go without a word."""
    return count(quantity) if unit == "piece" else f"{count(quantity)} {word(unit)}"


def why_no_count(on_shelf: Decimal, counted: Decimal, reason: str) -> str:
    """A count that contradicts the record says why: what nobody explained happens again."""
    if counted == on_shelf or reason.strip():
        return ""
    return gettext("The record says {count}. Say why it is {count_2}: taken without a note, broken, found.").format(
        count=count(on_shelf), count_2=count(counted)
    )


def why_not_reserved(wanted: Decimal, free: Decimal, others: Sequence[str]) -> str:
    """No more is reserved than lies there and nobody else waits for."""
    if wanted <= 0:
        return gettext("Give a number above 0.")
    if wanted <= free:
        return ""
    return f"{_free(free)}{_kept(others)}."


def why_not_taken(wanted: Decimal, on_shelf: Decimal, own: Decimal, free: Decimal, others: Sequence[str]) -> str:
    """What is reserved for another job is not taken for this one, nor more than the record says lies there."""
    if wanted <= 0:
        return gettext("Give a number above 0.")
    if wanted > on_shelf:
        return gettext("The record says {count} on the shelf. Count it first if there are more.").format(
            count=count(max(on_shelf, NONE))
        )
    if wanted > free + own:
        return gettext("{free}{kept}. Release a reservation first, with the reason.").format(
            free=_free(free + own), kept=_kept(others)
        )
    return ""


def why_none_taken(on_shelf: Decimal) -> str:
    """Why nothing is taken or moved by the record; "" where something lies there."""
    return why_not_taken(Decimal(1), on_shelf, NONE, on_shelf, ()) if on_shelf <= 0 else ""


def why_not_deleted(kind: str) -> str:
    """Why a movement of this kind is not deleted by itself; "" where it may be."""
    if kind == "moved":
        return gettext("It was moved from one place to another: move it back, both follow.")
    if kind not in ("taken", "counted"):
        return gettext("It follows from a delivery or a return: delete that on its order.")
    return ""


def why_not_there(wanted: Decimal, there: Decimal, where: str, all_places: str) -> str:
    """No more is taken from a place than the record says lies there."""
    if wanted <= there:
        return ""
    return gettext("The record says {count} in {where} ({all_places}). Take the rest from another place.").format(
        count=count(max(there, NONE)), where=where, all_places=all_places
    )


def _free(free: Decimal) -> str:
    return (
        gettext("{count} on the shelf and free").format(count=count(free))
        if free > 0
        else gettext("Nothing on the shelf is free")
    )


def _kept(others: Sequence[str]) -> str:
    return gettext("; reserved: {others}").format(others=", ".join(others)) if others else ""


def to_buy(missing: Decimal, pack: Decimal) -> Decimal:
    """Return how many to order so that whole packs are bought.

    >>> to_buy(Decimal(9), Decimal(4)), to_buy(Decimal(3), Decimal(1)), to_buy(Decimal(0), Decimal(10))
    (Decimal('12'), Decimal('3'), Decimal('0'))
    """
    return ceil(missing / pack) * pack if missing > 0 else NONE
