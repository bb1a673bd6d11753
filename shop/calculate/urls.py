from django.urls import path

from shop.calculate.views import calculation, question, reading, standards

app_name = "calculate"

urlpatterns = [
    path("", calculation.calculations, name="calculations"),
    path("reading/", reading.reading, name="reading"),
    path("standards/", standards.standards, name="standards"),
    path("questions/", question.questions, name="questions"),
    path("questions/<slug:name>/", question.question, name="question"),
    path("<slug:name>/", calculation.calculation, name="calculation"),
]
