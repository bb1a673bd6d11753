"""Numbers in a heading stay on one line, and whatever else stands in it is text."""

import pytest

from shop.base.templatetags.base import heading


@pytest.mark.parametrize(
    ("words", "whole"),
    [("Credit note of Pellworth, order 2026-028", "2026-028"), ("Invoice FE-2025-007, Ferrant", "FE-2025-007")],
)
def test_a_number_with_hyphens_is_kept_together(words: str, whole: str) -> None:
    assert f'<span class="together">{whole}</span>' in heading(words)


def test_a_registration_in_brackets_is_kept_together() -> None:
    assert "(KX\u00a0<" in heading("Edit Brightwell Tarn estate (KX 471-B)")


@pytest.mark.parametrize("words", ["Teskel five-speed behind the V6", "quarry-lane-prices.pdf", "<b>bold</b> & more"])
def test_other_words_may_break_and_none_is_markup(words: str) -> None:
    told = heading(words)
    assert "<" not in told
    assert len(told) >= len(words)
