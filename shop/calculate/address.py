"""A request as an address: every input is a key, so that a result can be linked.

A list is a repeated key ("ratios=3.6&ratios=2.1"), a table one repeated key a column ("bolts.name=B1&bolts.name=B2").
`units` in the address says in which system its bare numbers were meant, whoever opens it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.http import QueryDict


def as_address(request: Mapping[str, Any]) -> QueryDict:
    """A stored request (in the contract's units: numbers, texts, lists, rows) as the address of its form."""
    address = QueryDict(mutable=True)
    address["units"] = "metric"
    for name, value in request.items():
        entries = value if isinstance(value, (list, tuple)) else [value]
        if any(isinstance(entry, Mapping) for entry in entries):
            for column in dict.fromkeys(column for row in entries for column in row):
                address.setlist(f"{name}.{column}", [str(row.get(column, "")) for row in entries])
        else:
            address.setlist(name, [str(entry) for entry in entries])
    return address
