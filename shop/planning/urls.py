from django.urls import path

from shop.planning import views

app_name = "planning"

urlpatterns = [
    path("ready/", views.ready, name="ready"),
    path("forecast/", views.forecast, name="forecast"),
    path("line/<int:pk>/", views.choice, name="choice"),
]
