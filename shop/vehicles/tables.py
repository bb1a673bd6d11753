from shop.base.filters import DeletableFilters, IndexedFilter
from shop.base.language import gettext_lazy
from shop.base.tables import Column, Fact, FactsColumn, NumberColumn, Table
from shop.vehicles.models import Customer, Vehicle


class VehicleTable(Table):
    on_phone = ("registration", "customer", "steps_to_do")
    maker = FactsColumn(
        verbose_name=gettext_lazy("Vehicle"),
        linkify=True,
        order_by=("maker", "model"),
        facts=(
            Fact(gettext_lazy("Maker"), lambda table, vehicle: vehicle.maker),
            Fact(gettext_lazy("Model"), lambda table, vehicle: vehicle.model),
        ),
    )
    year = NumberColumn()
    registration = Column()
    customer = Column(order_by="customer__name")
    steps_to_do = NumberColumn(verbose_name=gettext_lazy("Steps to do"))
    empty = gettext_lazy("No vehicle yet. A vehicle is recorded with its customer; its jobs and pieces follow.")
    empty_action = ("vehicles:vehicle-new", gettext_lazy("Add vehicle"))
    new = ("vehicles:vehicle-new", gettext_lazy("Add vehicle"))

    class Meta(Table.Meta):
        model = Vehicle
        fields = ["maker", "year", "registration", "customer", "steps_to_do"]
        order_by = "maker"

    def render_maker(self, record: Vehicle) -> str:
        return f"{record.maker} {record.model}"


class VehicleFilters(DeletableFilters):
    words = IndexedFilter(label=gettext_lazy("Maker, number, chassis or customer"))

    class Meta:
        model = Vehicle
        fields: list[str] = []


class CustomerTable(Table):
    on_phone = ("phone", "vehicle_count")
    name = Column(linkify=True)
    phone = Column()
    email = Column()
    vehicle_count = NumberColumn(verbose_name=gettext_lazy("Vehicles"))
    empty = gettext_lazy("No customer yet. A vehicle is recorded with its customer.")
    empty_action = ("vehicles:customer-new", gettext_lazy("Add customer"))
    new = ("vehicles:customer-new", gettext_lazy("Add customer"))

    class Meta(Table.Meta):
        model = Customer
        fields = ["name", "phone", "email", "vehicle_count"]
        order_by = "name"


class CustomerFilters(DeletableFilters):
    words = IndexedFilter(label=gettext_lazy("Name, phone or e-mail"))

    class Meta:
        model = Customer
        fields: list[str] = []
