"""Calculations have an address of their own at the top: they belong to no record."""

from django.urls import path

from shop.reference.views import calculations

app_name = "calculations"

urlpatterns = [
    path("", calculations.calculation_list, name="list"),
    path("standards/", calculations.standards, name="standards"),
    path("<slug:name>/", calculations.calculation, name="run"),
]
