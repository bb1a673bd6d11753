from django.urls import path

from shop.vehicles.views import customer, fitted, vehicle

app_name = "vehicles"

urlpatterns = [
    path("", vehicle.vehicles, name="vehicles"),
    path("new/", vehicle.vehicle_new, name="vehicle-new"),
    path("<int:pk>/", vehicle.vehicle, name="vehicle"),
    path("<int:pk>/edit/", vehicle.vehicle_edit, name="vehicle-edit"),
    path("<int:pk>/delete/", vehicle.vehicle_delete, name="vehicle-delete"),
    path("<int:pk>/fit/", fitted.fitted_new, name="fitted-new"),
    path("fitted/<int:pk>/out/", fitted.fitted_take_out, name="fitted-take-out"),
    path("fitted/<int:pk>/delete/", fitted.fitted_delete, name="fitted-delete"),
    path("customers/", customer.customers, name="customers"),
    path("customers/new/", customer.customer_new, name="customer-new"),
    path("customers/<int:pk>/", customer.customer, name="customer"),
    path("customers/<int:pk>/edit/", customer.customer_edit, name="customer-edit"),
    path("customers/<int:pk>/delete/", customer.customer_delete, name="customer-delete"),
]
