from django.contrib.auth import views as auth
from django.contrib.auth.decorators import login_not_required
from django.urls import path

from shop.people.views import own_email, own_password, person, preferences, sign_in

app_name = "people"

urlpatterns = [
    path("", person.people, name="people"),
    path("new/", person.person_new, name="person-new"),
    path("<int:pk>/", person.person, name="person"),
    path("<int:pk>/access/", person.person_access, name="person-access"),
    path("<int:pk>/mail/", person.person_email, name="person-email"),
    path("<int:pk>/password/", person.person_password, name="person-password"),
    path("sign-in/", login_not_required(sign_in.SignIn.as_view()), name="sign-in"),
    path("sign-out/", auth.LogoutView.as_view(), name="sign-out"),
    path("password/", own_password.OwnPassword.as_view(), name="own-password"),
    path("mail/", own_email.own_email, name="own-email"),
    path("preferences/", preferences.preferences, name="preferences"),
]
