"""The address of a page by the number of its record, worked out once a page and not once a row of a list."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache

from django.urls import get_script_prefix, get_urlconf, reverse

_NO_RECORD = 987_654_321_012
"""A number that stands in an address for any other; no address of the site has it in its own words."""


_PLAIN = re.compile("[A-Za-z0-9-]+").fullmatch
"""Text that stands in an address as it is."""


def page_address(url_name: str, key: int | str) -> str:
    """The same as ``reverse(url_name, args=[key])``, for a page that is found by one whole number, or by its name."""
    if isinstance(key, str) and not _PLAIN(key):
        return reverse(url_name, args=[key])
    before, after = _around(url_name, *(_HELD.get() or _where()))
    return f"{before}{key}{after}" if isinstance(key, str) else f"{before}{key:d}{after}"


@contextmanager
def of_one_page() -> Iterator[None]:
    """Ask once, and not for each address within the block, under which prefix and by which urls the site answers."""
    token = _HELD.set(_where())
    try:
        yield
    finally:
        _HELD.reset(token)


_HELD: ContextVar[tuple[str, str | None] | None] = ContextVar("prefix and urls", default=None)


def _where() -> tuple[str, str | None]:
    return get_script_prefix(), get_urlconf()


@lru_cache(maxsize=1_000)
def _around(url_name: str, prefix: str, urlconf: str | None) -> tuple[str, str]:
    """What stands in an address before and after the number."""
    before, _, after = reverse(url_name, args=[_NO_RECORD]).partition(str(_NO_RECORD))
    return before, after
