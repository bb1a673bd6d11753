"""In which language a supplier is written to, and the shop's own text in it. Nothing is translated."""

from __future__ import annotations

from dataclasses import dataclass, replace

from shop.orders.letter import Letter
from shop.orders.models import LetterTexts, Supplier

FIELDS = {"": "chase", "return": "sent_back", "wrong-part": "wrong_part"}
"""The field of the text for each kind of letter (`LetterKind.about`), where it is not called alike."""


@dataclass(frozen=True)
class OwnText:
    """The language of a supplier, "" where English serves, and what the shop wrote in it for one kind of letter."""

    language: str
    text: str = ""

    def above(self, letter: Letter) -> Letter:
        """Return the letter with the own text above its English."""
        return replace(letter, body=f"{self.text}\n\n{letter.body}") if self.text else letter


def texts_in(language: str) -> LetterTexts | None:
    """Return the shop's own texts in a language, in whatever case it is written; None where there are none."""
    return LetterTexts.objects.filter(language__iexact=language.strip()).first()


def is_english(language: str) -> bool:
    """Say whether the English drafts serve.

    >>> is_english("English"), is_english("en-GB"), is_english(""), is_english("French")
    (True, True, True, False)
    """
    name = language.strip().lower()
    return not name or name == "en" or name.startswith(("engl", "en-", "en_"))


def own_text(supplier: Supplier, about: str) -> OwnText:
    """Return what the shop wrote in the supplier's language for a kind of letter."""
    language = supplier.language.strip()
    if is_english(language):
        return OwnText("")
    found = texts_in(language)
    return OwnText(language, getattr(found, FIELDS.get(about, about), "").strip() if found else "")
