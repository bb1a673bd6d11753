"""Questions have an address of their own at the top, beside the calculations that answer them."""

from django.urls import path

from shop.reference.views import questions

app_name = "questions"

urlpatterns = [
    path("", questions.question_list, name="list"),
    path("<slug:name>/", questions.question, name="ask"),
]
