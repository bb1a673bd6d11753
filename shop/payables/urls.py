from django.urls import path

from shop.payables.views import deliveries, invoice

app_name = "payables"

urlpatterns = [
    path("", invoice.invoices, name="invoices"),
    path("deliveries/", deliveries.deliveries, name="deliveries"),
    path("new/", invoice.invoice_new, name="invoice-new"),
    path("<int:pk>/", invoice.invoice, name="invoice"),
    path("<int:pk>/edit/", invoice.invoice_edit, name="invoice-edit"),
    path("<int:pk>/pay/", invoice.invoice_pay, name="invoice-pay"),
    path("<int:pk>/unpay/", invoice.invoice_unpay, name="invoice-unpay"),
    path("<int:pk>/delete/", invoice.invoice_delete, name="invoice-delete"),
]
