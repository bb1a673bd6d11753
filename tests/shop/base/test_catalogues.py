"""A text is looked up where there is any translation, and comes out as it did."""

from gettext import NullTranslations

from django.conf import settings
from django.utils.translation import gettext, ngettext, override, trans_real


def _chain(code: str) -> list[NullTranslations]:
    held, found = trans_real.translation(code), list[NullTranslations]()
    while held is not None:
        found.append(held)
        held = held._fallback  # type: ignore[attr-defined]
    return found


def test_no_catalogue_is_asked_that_holds_nothing() -> None:
    first, *others = _chain(settings.LANGUAGE_CODE)
    assert all(any(one._catalog.keys()) for one in others)  # type: ignore[attr-defined]


def test_texts_of_the_shop_of_django_and_of_another_language_come_out_as_they_did() -> None:
    with override(settings.LANGUAGE_CODE):
        assert gettext("Add step: {job}") == "Add step: {job}"
        assert gettext("This field is required.") == "This field is required."
        assert ngettext("{steps} step", "{steps} steps", 2) == "{steps} steps"
    with override("de"):
        assert gettext("This field is required.") == "Dieses Feld ist zwingend erforderlich."
