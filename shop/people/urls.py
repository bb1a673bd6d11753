from django.contrib.auth import views as auth
from django.contrib.auth.decorators import login_not_required
from django.urls import path

from shop.people import views

app_name = "people"

urlpatterns = [
    path("sign-in/", login_not_required(auth.LoginView.as_view(template_name="people/sign_in.html")), name="sign-in"),
    path("sign-out/", auth.LogoutView.as_view(), name="sign-out"),
    path("preferences/", views.preferences, name="preferences"),
]
