from django.urls import URLPattern

app_name = "planning"

urlpatterns: list[URLPattern] = []
