from django.urls import path

from shop.home import views

app_name = "home"

urlpatterns = [
    path("", views.today, name="today"),
    path("search/", views.found, name="search"),
]
