"""Whose shop it is: what the owner wrote on its page, and the settings for what is left empty there."""

from __future__ import annotations

from dataclasses import dataclass

from django.conf import settings
from django.db import DatabaseError

from shop.base.models import ShopDetails
from shop.base.unchanged import while_unchanged


@dataclass(frozen=True)
class NamedShop:
    """The shop's name, and on letters its address, how it is reached and the last line."""

    name: str
    postal_address: tuple[str, ...]
    reached_by: tuple[str, ...]
    letter_foot: str


def shop() -> NamedShop:
    """Return whose shop it is; where the database does not answer, what the settings say."""
    try:
        return _on_record()
    except DatabaseError:
        return _of(_from_settings())


def details_to_edit() -> ShopDetails:
    """Return the shop's details as a record to be changed: the one row, or a new one that says what the settings do."""
    return ShopDetails.objects.first() or _from_settings()


@while_unchanged
def _on_record() -> NamedShop:
    return _of(details_to_edit())


def _from_settings() -> ShopDetails:
    return ShopDetails(
        name=settings.SHOP_NAME,
        postal_address="\n".join(settings.SHOP_POSTAL_ADDRESS),
        reached_by="\n".join(settings.SHOP_REACHED_BY),
        letter_foot=settings.SHOP_LETTER_FOOT,
    )


def _of(details: ShopDetails) -> NamedShop:
    return NamedShop(details.name, _lines(details.postal_address), _lines(details.reached_by), details.letter_foot)


def _lines(text: str) -> tuple[str, ...]:
    return tuple(line.strip() for line in text.splitlines() if line.strip())
