"""One folder of addresses an area: /orders/… is shop/orders/urls.py."""

from django.urls import include, path

urlpatterns = [
    path("", include("shop.home.urls")),
    path("people/", include("shop.people.urls")),
    path("reference/", include("shop.reference.urls")),
    path("calculations/", include("shop.reference.calculation_urls")),
    path("questions/", include("shop.reference.question_urls")),
    path("vehicles/", include("shop.vehicles.urls")),
    path("worksheets/", include("shop.worksheets.urls")),
    path("jobs/", include("shop.jobs.urls")),
    path("orders/", include("shop.orders.urls")),
    path("planning/", include("shop.planning.urls")),
    path("cards/", include("shop.cards.urls")),
]

handler400 = "shop.ui.errors.bad_request"
handler403 = "shop.ui.errors.forbidden"
handler404 = "shop.ui.errors.not_found"
handler500 = "shop.ui.errors.broken"
