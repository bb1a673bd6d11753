from typing import Any

import django_filters
from django.http import HttpRequest

from shop.ui.filters import FilterSet, Words
from shop.ui.tables import Column, NumberColumn, Table
from shop.vehicles.models import Customer, Vehicle


class Found(Words):
    """Words found by the queryset's own search, with or without their separators."""

    def filter(self, qs: Any, value: str | None) -> Any:
        return qs.search(value) if value and value.strip() else qs


def rows_asked(request: HttpRequest, rows: Any) -> Any:
    """The records that stand; those that were withdrawn when the address asks for them."""
    return rows.exclude(withdrawn_at=None) if request.GET.get("show") == "withdrawn" else rows.standing()


class StandingFilters(FilterSet):
    """Filters over records that can be withdrawn; `rows_asked` reads the choice, before the others filter."""

    show = django_filters.ChoiceFilter(
        choices=[("withdrawn", "withdrawn ones")], label="Show", empty_label="those that stand", method="asked"
    )

    def asked(self, rows: Any, name: str, value: str) -> Any:
        return rows


class VehicleTable(Table):
    maker = Column(verbose_name="Vehicle", linkify=True, order_by=("maker", "model"))
    year = NumberColumn()
    registration = Column()
    customer = Column(order_by="customer__name")
    open_jobs = NumberColumn(verbose_name="Jobs in hand")
    empty = "No vehicle yet. A vehicle is recorded with its customer; its jobs and pieces follow."
    empty_action = ("vehicles:vehicle-new", "Record a vehicle")

    class Meta(Table.Meta):
        model = Vehicle
        fields = ["maker", "year", "registration", "customer", "open_jobs"]
        order_by = "maker"

    def render_maker(self, record: Vehicle) -> str:
        return f"{record.maker} {record.model}"

    value_maker = render_maker


class VehicleFilters(StandingFilters):
    words = Found(label="Maker, number, chassis or customer")

    class Meta:
        model = Vehicle
        fields: list[str] = []


class CustomerTable(Table):
    name = Column(linkify=True)
    phone = Column()
    email = Column()
    vehicle_count = NumberColumn(verbose_name="Vehicles")
    empty = "No customer yet."
    empty_action = ("vehicles:customer-new", "Record a customer")

    class Meta(Table.Meta):
        model = Customer
        fields = ["name", "phone", "email", "vehicle_count"]
        order_by = "name"


class CustomerFilters(StandingFilters):
    words = Found(label="Name, phone or e-mail")

    class Meta:
        model = Customer
        fields: list[str] = []
