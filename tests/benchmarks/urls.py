"""The site's addresses and Django's admin with a list of fifty orders."""

from django.contrib import admin
from django.urls import include, path

from shop.orders.models import Order


@admin.register(Order)
class Orders(admin.ModelAdmin):
    """Fifty orders with as many columns as our list shows."""

    list_display = ("number", "supplier", "reference", "ordered_on", "deposit", "tax_percent")
    list_select_related = ("supplier",)
    list_per_page = 50


urlpatterns = [path("admin/", admin.site.urls), path("", include("shop.urls"))]
