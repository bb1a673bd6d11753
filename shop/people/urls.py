from django.contrib.auth import views as auth
from django.contrib.auth.decorators import login_not_required
from django.urls import path

from shop.people import views

app_name = "people"

urlpatterns = [
    path("sign-in/", login_not_required(views.SignIn.as_view()), name="sign-in"),
    path("sign-out/", auth.LogoutView.as_view(), name="sign-out"),
    path("password/", views.OwnPassword.as_view(), name="password"),
    path("preferences/", views.preferences, name="preferences"),
]
