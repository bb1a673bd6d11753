from django.urls import path

from shop.worksheets.views import worksheet

app_name = "worksheets"

urlpatterns = [
    path("", worksheet.worksheets, name="worksheets"),
    path("changed/", worksheet.worksheets_changed, name="worksheets-changed"),
    path("new/", worksheet.worksheet_new, name="worksheet-new"),
    path("new/<slug:calculation>/", worksheet.worksheet_new_of, name="worksheet-new-of"),
    path("<int:pk>/", worksheet.worksheet, name="worksheet"),
    path("<int:pk>/edit/", worksheet.worksheet_edit, name="worksheet-edit"),
    path("<int:pk>/delete/", worksheet.worksheet_delete, name="worksheet-delete"),
    path("<int:pk>/accept/", worksheet.worksheet_accept, name="worksheet-accept"),
    path("<int:pk>/records/", worksheet.worksheet_records, name="worksheet-records"),
    path("<int:pk>/what-if/", worksheet.worksheet_what_if, name="worksheet-what-if"),
]
