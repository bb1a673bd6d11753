from django.urls import URLPattern

app_name = "worksheets"

urlpatterns: list[URLPattern] = []
