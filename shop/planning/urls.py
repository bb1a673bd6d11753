from django.urls import path

from shop.planning import own_views, views

app_name = "planning"

urlpatterns = [
    path("ready/", views.ready, name="ready"),
    path("forecast/", views.forecast, name="forecast"),
    path("line/<int:pk>/", views.choice, name="choice"),
    path("mine/", own_views.mine, name="mine"),
    path("mine/link/", own_views.link_make, name="link-make"),
    path("mine/link/revoke/", own_views.link_revoke, name="link-revoke"),
    path("mine/morning/", own_views.morning, name="morning"),
    path("calendar/<str:secret>.ics", own_views.calendar, name="calendar"),
]
