"""Two pages over a component, only for the tests of the page functions."""

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import FloatField, Value
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import include, path

from shop.base.filters import FilterSet, TextFilter
from shop.base.lists import list_page
from shop.base.pages import create_page, edit_page
from shop.base.tables import Column, Table, UnitColumn
from shop.base.versions import VersionedForm
from specs.models import Component


class ComponentForm(VersionedForm):
    notes = forms.CharField(required=False, widget=forms.Textarea)

    class Meta:
        model = Component
        fields = ["kind", "maker", "name", "notes"]


def redirect_to(component: Component) -> str:
    return f"/test/{component.pk}/"


def refuse_t9(form: ComponentForm) -> Component:
    """A verb with a rule of its own: T9 is refused by name."""
    component = form.save()
    if component.name == "T9":
        raise ValidationError({"name": "T9 was never made.", "elsewhere": "Nor was its plate."})
    return component


def picky(request: HttpRequest) -> HttpResponse:
    return create_page(request, ComponentForm, title="New component", redirect_to=redirect_to, save=refuse_t9)


def picky_change(request: HttpRequest, pk: int) -> HttpResponse:
    component = get_object_or_404(Component, pk=pk)
    return edit_page(
        request, component, ComponentForm, title="Change component", redirect_to=redirect_to, save=refuse_t9
    )


def new(request: HttpRequest) -> HttpResponse:
    return create_page(request, ComponentForm, title="New component", redirect_to=redirect_to)


def change(request: HttpRequest, pk: int) -> HttpResponse:
    return edit_page(
        request, get_object_or_404(Component, pk=pk), ComponentForm, title="Change component", redirect_to=redirect_to
    )


def overtaken(request: HttpRequest, pk: int) -> HttpResponse:
    """A press that saves what was read before somebody else saved it, and has no form to show both."""
    component = get_object_or_404(Component, pk=pk)
    component.version -= 1
    component.save()
    return HttpResponse()


class ComponentTable(Table):
    name = Column(linkify=lambda record: redirect_to(record))
    length = UnitColumn(kind="length", accessor="length")
    empty = "No component yet."
    empty_action = ("new-component", "Write one down")

    class Meta(Table.Meta):
        model = Component
        fields = ["name", "maker", "kind", "notes"]
        order_by = "name"


class ComponentFilters(FilterSet):
    words = TextFilter("name", "maker", "notes")

    class Meta:
        model = Component
        fields = ["kind"]


def components(request: HttpRequest) -> HttpResponse:
    rows = Component.objects.annotate(length=Value(0.0889, output_field=FloatField()))
    return list_page(request, title="Components", table=ComponentTable, rows=rows, filters=ComponentFilters)


urlpatterns = [
    path("test/", components, name="components"),
    path("test/new/", new, name="new-component"),
    path("test/<int:pk>/", change),
    path("test/<int:pk>/overtaken/", overtaken),
    path("test/picky/new/", picky),
    path("test/picky/<int:pk>/", picky_change),
    path("", include("shop.urls")),
]
