"""Whose shop it is."""

from django.http import HttpResponse
from django.urls import reverse
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import edit_page
from shop.base.records import save_form
from shop.base.shop_details import details_to_edit
from shop.home.forms import ShopDetailsForm


@edits("people.manage")
def shop_details(request: SignedIn) -> HttpResponse:
    """The shop's name, and its address and telephone on letters."""
    record = details_to_edit()
    if request.method == "POST" and record.pk is None:
        record.full_clean()
        record.save()
    return edit_page(
        request,
        record,
        ShopDetailsForm,
        title=gettext("Name and address of the shop"),
        save=save_form(request),
        redirect_to=lambda saved: reverse("home:today"),
        back=reverse("home:today"),
        template="home/shop_details.html",
    )
