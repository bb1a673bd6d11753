from django.contrib.auth import views as auth
from django.contrib.auth.decorators import login_not_required
from django.urls import path

from shop.people.views import own, staff

app_name = "people"

urlpatterns = [
    path("", staff.people, name="list"),
    path("new/", staff.new, name="new"),
    path("<int:pk>/", staff.person, name="person"),
    path("<int:pk>/standing/", staff.standing, name="standing"),
    path("<int:pk>/password/", staff.password, name="give-password"),
    path("sign-in/", login_not_required(own.SignIn.as_view()), name="sign-in"),
    path("sign-out/", auth.LogoutView.as_view(), name="sign-out"),
    path("password/", own.OwnPassword.as_view(), name="password"),
    path("preferences/", own.preferences, name="preferences"),
]
