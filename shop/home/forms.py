from django import forms

from shop.base.language import gettext_lazy
from shop.base.models import ShopDetails
from shop.base.versions import VersionedForm


class ShopDetailsForm(VersionedForm):
    class Meta:
        model = ShopDetails
        fields = ["name", "postal_address", "reached_by", "letter_foot"]
        widgets = dict.fromkeys(["postal_address", "reached_by"], forms.Textarea({"rows": 3}))
        help_texts = {
            "name": gettext_lazy("At the head of every page and in the title block on paper."),
            "postal_address": gettext_lazy("Optional. A line each: street, town, country."),
            "reached_by": gettext_lazy("Optional. A line each."),
            "letter_foot": gettext_lazy("Optional. Such as the owner's name and the tax number."),
        }
