from django.urls import URLPattern

app_name = "reference"

urlpatterns: list[URLPattern] = []
