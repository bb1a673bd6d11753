"""A plate as it stands today, read once for the pages that show it."""

from __future__ import annotations

from datetime import date

from shop.base.unchanged import while_unchanged
from shop.plate.layout import PlateLayout, read_state
from shop.worksheets.today import states_today


def read_layout(pk: int, today: date) -> PlateLayout:
    """The plate that a worksheet lays out, for a form that writes into what it is given.

    Raises ValidationError, in words, where it cannot be worked out.
    """
    return read_state(states_today((pk,), today)[pk])


layout_today = while_unchanged(read_layout)
