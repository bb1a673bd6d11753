from django.urls import path

from shop.home import views

app_name = "home"

urlpatterns = [
    path("", views.today, name="today"),
    path("favicon.ico", views.icon, name="icon"),
    path("search/", views.found, name="search"),
]
