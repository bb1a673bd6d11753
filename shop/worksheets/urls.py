from django.urls import path

from shop.worksheets import views

app_name = "worksheets"

urlpatterns = [
    path("", views.worksheets, name="list"),
    path("out-of-date/", views.out_of_date, name="out-of-date"),
    path("new/", views.new, name="new"),
    path("new/<slug:calculation>/", views.new_of, name="new-of"),
    path("<int:pk>/", views.worksheet, name="worksheet"),
    path("<int:pk>/change/", views.change, name="change"),
    path("<int:pk>/withdraw/", views.withdraw, name="withdraw"),
    path("<int:pk>/accept/", views.accept, name="accept"),
    path("<int:pk>/records/", views.records, name="records"),
    path("<int:pk>/what-if/", views.what_if, name="what-if"),
]
