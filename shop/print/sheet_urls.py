"""The short address in the code on paper: no later renaming of pages may touch it."""

from django.urls import path

from shop.print.views import sheet

app_name = "s"

urlpatterns = [path("<str:number>/", sheet.sheet_by_number, name="number")]
