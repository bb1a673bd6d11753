from django.urls import URLPattern

app_name = "orders"

urlpatterns: list[URLPattern] = []
