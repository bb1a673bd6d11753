from django.urls import path

from shop.vehicles import views

app_name = "vehicles"

urlpatterns = [
    path("", views.vehicles, name="vehicles"),
    path("new/", views.vehicle_new, name="vehicle-new"),
    path("<int:pk>/", views.vehicle, name="vehicle"),
    path("<int:pk>/change/", views.vehicle_change, name="vehicle-change"),
    path("<int:pk>/withdraw/", views.vehicle_withdraw, name="vehicle-withdraw"),
    path("<int:pk>/fit/", views.fit, name="fit"),
    path("fitted/<int:pk>/out/", views.take_out, name="take-out"),
    path("fitted/<int:pk>/withdraw/", views.fitted_withdraw, name="fitted-withdraw"),
    path("customers/", views.customers, name="customers"),
    path("customers/new/", views.customer_new, name="customer-new"),
    path("customers/<int:pk>/", views.customer, name="customer"),
    path("customers/<int:pk>/change/", views.customer_change, name="customer-change"),
    path("customers/<int:pk>/withdraw/", views.customer_withdraw, name="customer-withdraw"),
]
