from django.urls import path

from shop.cards import views

app_name = "cards"

urlpatterns = [
    path("", views.printed_sheets, name="list"),
    path("print/<slug:kind>/<int:pk>/", views.print_of, name="print"),
    path("plate/<int:pk>/<slug:side>.<slug:form>", views.plate_file, name="plate-file"),
    path("<int:pk>/", views.printed, name="printed"),
]
