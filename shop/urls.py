"""One room, one folder of addresses: /orders/… is shop/orders/urls.py."""

from django.urls import include, path

ROOMS = [
    "people",
    "measuring",
    "torque",
    "calculate",
    "vehicles",
    "worksheets",
    "plate",
    "jobs",
    "stock",
    "orders",
    "payables",
    "replies",
    "attachments",
    "planning",
    "print",
]

urlpatterns = [path("", include("shop.home.urls")), path("s/", include("shop.print.sheet_urls"))]
urlpatterns += [path("health/", include("shop.serving.urls"))]
urlpatterns += [path("sample-data/", include("shop.demo.urls"))]
urlpatterns += [path(f"{room}/", include(f"shop.{room}.urls")) for room in ROOMS]

handler400 = "shop.base.error_pages.bad_request"
handler403 = "shop.base.error_pages.forbidden"
handler404 = "shop.base.error_pages.not_found"
handler500 = "shop.base.error_pages.broken"
