"""How worksheets stand today in words, kept lot by lot: plain values, which every reader of a page is given alike."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from django.db import connection

from shop.base.unchanged import while_unchanged
from shop.worksheets.text import StatusText, status_text
from shop.worksheets.today import by_lots, lot_today, states_today
from specs.engine.units import System


def texts_today(keys: Collection[int], today: date, system: System) -> dict[int, StatusText]:
    """How these worksheets stand, by key, for a reader of this unit system; a deleted one too."""
    # In a transaction nothing is kept: these alone and all at once.
    found = {} if connection.in_atomic_block else by_lots(keys, lambda lot: _texts(lot, today, system))
    texts = {key: found[key] for key in keys if key in found}
    rest = states_today([key for key in keys if key not in found], today)
    return texts | {key: status_text(state, system) for key, state in rest.items()}


@while_unchanged
def _texts(lot: int, today: date, system: System) -> dict[int, StatusText]:
    """Those of a lot that nobody deleted: of a worksheet with its records each reader would be given a copy."""
    found = lot_today(lot, today).items()
    return {key: status_text(sheet.state, system) for key, sheet in found if sheet.state}
