"""Customers, their vehicles, and which piece sat in which place from when to when."""

from __future__ import annotations

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.db.models.functions import Lower
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base.language import word
from shop.base.search import SearchQuerySet
from specs.addresses import page_address
from specs.models import Deletable, DeletableQuerySet, Versioned
from specs.row_queries import OfEachRow, number_of


def _own_number(model: type[models.Model], counted: models.Count) -> OfEachRow:
    """What is counted of one row: of those that a list shows, where a count over all of them would go through all."""
    rows = model._base_manager.filter(pk=models.OuterRef("pk")).order_by().values("pk")
    return OfEachRow(rows.annotate(number=counted).values("number"))


class CustomerQuerySet(SearchQuerySet):
    searched = ("name", "phone", "email")

    def for_list(self):
        return self.annotate(vehicle_count=number_of(Vehicle.objects.active(), "customer"))


class VehicleQuerySet(SearchQuerySet):
    searched = ("maker", "model", "registration", "vin", "customer__name")

    def for_list(self):
        """Vehicles with the number of steps that are still to do on them."""
        standing = Q(jobs__deleted_at=None, jobs__steps__deleted_at=None)
        to_do = models.Count("jobs__steps", filter=standing & Q(jobs__steps__finished_at=None))
        return self.select_related("customer").annotate(steps_to_do=_own_number(self.model, to_do))


class FittedQuerySet(DeletableQuerySet):
    def in_now(self):
        return self.active().filter(until__isnull=True)

    def taken_out(self):
        return self.active().filter(until__isnull=False)

    def with_component(self):
        return self.select_related("specimen__component")


class Customer(Versioned, Deletable):
    """Whose vehicle it is, and how to reach them."""

    name = models.CharField(max_length=120)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField("e-mail", blank=True)
    address = models.TextField(blank=True, max_length=500)
    notes = models.TextField(blank=True, max_length=4000)

    history = HistoricalRecords()
    objects = CustomerQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["name", "pk"]
        indexes = [
            models.Index(fields=["name", "id"], name="customer_by_name"),
            models.Index(fields=["name", "id", "deleted_at"], name="customer_list"),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return page_address("vehicles:customer", self.pk)


class Vehicle(Versioned, Deletable):
    """One vehicle in the shop's care, by maker, model and its own numbers."""

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="vehicles")
    maker = models.CharField(max_length=80)
    model = models.CharField(max_length=80)
    year = models.PositiveSmallIntegerField(
        gettext_lazy("model year"),
        null=True,
        blank=True,
        validators=[MinValueValidator(1885), MaxValueValidator(2100)],
    )
    registration = models.CharField(
        max_length=20, blank=True, help_text=gettext_lazy("As on the plate; spaces do not matter.")
    )
    vin = models.CharField(
        gettext_lazy("chassis number or VIN"),
        max_length=40,
        blank=True,
        help_text=gettext_lazy("17 characters from 1981 on (ISO 3779); older vehicles carry a shorter chassis number."),
    )
    notes = models.TextField(blank=True, max_length=4000)

    history = HistoricalRecords()
    objects = VehicleQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["maker", "model", "pk"]
        indexes = [
            models.Index(fields=["maker", "model", "id"], name="vehicle_by_maker"),
            models.Index(fields=["maker", "model", "id", "deleted_at"], name="vehicle_list"),
            models.Index(fields=["customer", "deleted_at"], name="vehicle_of_customer"),
        ]
        constraints = [
            *Deletable.Meta.constraints,
            models.UniqueConstraint(
                Lower("vin"),
                condition=~models.Q(vin="") & models.Q(deleted_at=None),
                name="vehicle_vin_once",
                violation_error_message=gettext_lazy("Another vehicle already has this chassis number."),
            ),
            models.CheckConstraint(
                condition=models.Q(year__isnull=True) | models.Q(year__range=(1885, 2100)),
                name="vehicle_year_between_1885_and_2100",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.maker} {self.short_name}".lstrip()

    @property
    def short_name(self) -> str:
        """The vehicle in a quiet line: its model and registration."""
        return " ".join(filter(None, [self.model, self.registration and f"({self.registration})"]))

    def get_absolute_url(self) -> str:
        return page_address("vehicles:vehicle", self.pk)


class Fitted(Versioned, Deletable):
    """A piece in a place of a vehicle, from a day until it was taken out."""

    vehicle = models.ForeignKey(Vehicle, on_delete=models.PROTECT, related_name="fitted")
    specimen = models.ForeignKey("specs.Specimen", on_delete=models.PROTECT, related_name="fitted")
    place = models.CharField(max_length=60, help_text=gettext_lazy("Such as: engine, gearbox, propshaft, front half."))
    since = models.DateField(
        gettext_lazy("in since"),
        null=True,
        blank=True,
        help_text=gettext_lazy("Optional. Empty: it came with the vehicle."),
    )
    until = models.DateField(gettext_lazy("taken out on"), null=True, blank=True)

    history = HistoricalRecords()
    objects = FittedQuerySet.as_manager()

    class Meta(Deletable.Meta):
        verbose_name = gettext_lazy("fitted piece")
        ordering = ["place", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.UniqueConstraint(
                "specimen",
                condition=models.Q(until__isnull=True, deleted_at=None),
                name="fitted_specimen_in_one_place",
                violation_error_message=gettext_lazy("This piece is already in a vehicle; take it out there first."),
            ),
            models.UniqueConstraint(
                "vehicle",
                Lower("place"),
                condition=models.Q(until__isnull=True, deleted_at=None),
                name="fitted_place_holds_one",
                violation_error_message=gettext_lazy("Something is already in this place; take it out first."),
            ),
            models.CheckConstraint(
                condition=models.Q(until__isnull=True)
                | models.Q(since__isnull=True)
                | models.Q(until__gte=models.F("since")),
                name="fitted_out_after_in",
                violation_error_message=gettext_lazy("It cannot be taken out before it was put in."),
            ),
        ]

    def __str__(self) -> str:
        return gettext("{specimen} as {place}").format(specimen=self.specimen, place=word(self.place))

    @property
    def is_in(self) -> bool:
        return self.until is None and not self.is_deleted
