"""The shop's own texts in the language of a supplier."""

from __future__ import annotations

from typing import Any

from django.contrib.messages import error
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.language import word
from shop.base.pages import create_page, edit_page
from shop.base.records import find_current
from shop.orders import supplier_changes
from shop.orders.forms.suppliers import LetterTextsForm
from shop.orders.letter_language import is_english, texts_in
from shop.orders.models import LetterTexts, Supplier


@edits("orders.order")
def letter_texts_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Write or change the texts in the language of a supplier, for all suppliers of that language."""
    found = find_current(Supplier.objects, pk)
    if is_english(found.language):
        error(
            request,
            gettext("{found} is written to in English. Give another language first, with the supplier.").format(
                found=found
            ),
        )
        return redirect(found)

    def save(form: Any) -> LetterTexts:
        return supplier_changes.save_letter_texts(form.save(commit=False), person=request.user)

    back = found.get_absolute_url()
    texts = texts_in(found.language)
    page: dict[str, Any] = {
        "title": gettext("Own texts in {language}").format(language=word(found.language)),
        "save": save,
        "redirect_to": lambda _: back,
        "back": back,
    }
    if texts:
        return edit_page(request, texts, LetterTextsForm, **page)
    new = LetterTexts(language=found.language.strip())
    return create_page(request, LetterTextsForm, instance=new, **page)
