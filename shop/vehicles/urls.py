from django.urls import URLPattern

app_name = "vehicles"

urlpatterns: list[URLPattern] = []
