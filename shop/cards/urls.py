from django.urls import path

from shop.cards import plate_views, views

app_name = "cards"

urlpatterns = [
    path("", views.printed_sheets, name="list"),
    path("print/<slug:kind>/<int:pk>/", views.print_of, name="print"),
    path("plate/<int:pk>/clocking/", plate_views.clocking, name="plate-clocking"),
    path("plate/<int:pk>/bolts/", plate_views.bolts, name="plate-bolts"),
    path("plate/<int:pk>/bolts/leave-out/", plate_views.leave_out, name="leave-out"),
    path("plate/left-out/<int:pk>/use-again/", plate_views.use_again, name="use-again"),
    path("plate/<int:pk>/thickness/", plate_views.thickness, name="plate-thickness"),
    path("plate/<int:pk>/making/", plate_views.making, name="plate-making"),
    path("plate/<int:pk>/<slug:side>.<slug:form>", views.plate_file, name="plate-file"),
    path("<int:pk>/", views.printed, name="printed"),
]
