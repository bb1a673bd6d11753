from django.urls import URLPattern

app_name = "cards"

urlpatterns: list[URLPattern] = []
