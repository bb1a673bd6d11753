"""How searched text is compared."""

import pytest

from shop.base.search_text import fold, likeness, near, spellings, squeeze


@pytest.mark.parametrize(
    ("typed", "compared"),
    [("Hölis", "holis"), ("M10×1.25", "m10x1.25"), ("ÉCROU", "ecrou"), ("Straße", "strasse"), ("Søren", "soren")],
)
def test_accents_case_and_signs_do_not_matter(typed: str, compared: str) -> None:
    assert fold(typed) == compared


@pytest.mark.parametrize("typed", ["KX 471-B", "kx471b", "KX.471/B", " kx-471 b "])
def test_separators_do_not_matter(typed: str) -> None:
    assert squeeze(typed) == "kx471b"


@pytest.mark.parametrize("typed", ["+31 (0)20 555 0142", "0031 20 5550142", "020-5550142", "555 01 42"])
def test_a_telephone_number_is_known_by_its_last_digits(typed: str) -> None:
    assert "5550142" in spellings(typed)


def test_a_short_number_is_no_telephone_number() -> None:
    assert spellings("471") == ["471"]


@pytest.mark.parametrize(("wrong", "right"), [("holis", "hollis"), ("pelworth", "pellworth"), ("ferant", "ferrant")])
def test_a_misspelt_word_shares_a_pair_of_trigrams_with_the_right_one(wrong: str, right: str) -> None:
    assert any(all(run in right for run in pair) for pair in near(wrong))
    assert likeness(wrong, right) > 0.45


def test_other_words_are_not_alike() -> None:
    assert likeness("flywheel", "bellhousing") < 0.2
