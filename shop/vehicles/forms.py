from django import forms
from django.utils.translation import gettext

from shop.base.fields import DayField
from shop.base.forms import Form
from shop.base.language import gettext_lazy
from shop.base.versions import VersionedForm
from shop.vehicles.models import Customer, Fitted, Vehicle
from specs.models import Specimen


class CustomerForm(VersionedForm):
    class Meta:
        model = Customer
        fields = ["name", "phone", "email", "address", "notes"]
        widgets = {"address": forms.Textarea({"rows": 3}), "notes": forms.Textarea({"rows": 4})}


class VehicleForm(VersionedForm):
    add_first = {"customer": "vehicles:customer-new"}

    class Meta:
        model = Vehicle
        fields = ["customer", "maker", "model", "year", "registration", "vin", "notes"]
        widgets = {"notes": forms.Textarea({"rows": 4})}

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        current = Customer.objects.active()
        if self.instance.customer_id:
            current = current | Customer.objects.filter(pk=self.instance.customer_id)
        self.fields["customer"].queryset = current  # type: ignore[attr-defined]
        self.lead_to_what_is_missing()


class FitForm(VersionedForm):
    class Meta:
        model = Fitted
        fields = ["specimen", "place", "since"]
        field_classes = {"since": DayField}

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        free = Specimen.objects.exclude(fitted__in=Fitted.objects.in_now()).select_related("component")
        ordered = free.order_by("component__kind", "component__maker", "mark")
        self.fields["specimen"].queryset = ordered  # type: ignore[attr-defined]
        self.fields["specimen"].label = gettext("Which piece")
        self.fields["specimen"].help_text = gettext("Pieces that are in no vehicle now.")


class TakeOutForm(Form):
    until = DayField(label=gettext_lazy("Taken out on"))
