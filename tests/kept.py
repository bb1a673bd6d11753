"""A site on which nothing that was kept counts: what tests compare kept pages with."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from shop.base import unchanged
from shop.base.kept_markup import KeptMarkup
from shop.calculate.answer_picture import svg_of


@contextmanager
def from_nothing() -> Iterator[None]:
    """Nothing that was kept counts; afterwards it is there again, with all that it was kept for, less pictures."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(unchanged, "_KEPT", unchanged._Kept())
        patched.setattr(KeptMarkup, "_keep", lambda self, key, markup: markup)
        patched.setattr(KeptMarkup, "kept", lambda self, key: None)
        svg_of.cache_clear()
        yield
