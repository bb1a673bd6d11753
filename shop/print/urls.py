from django.urls import path

from shop.print.views import customer_letter, letter, plate_file, sheet

app_name = "print"

urlpatterns = [
    path("", sheet.sheets, name="sheets"),
    path("new/<slug:kind>/<int:pk>/", sheet.sheet_new, name="sheet-new"),
    path("<int:pk>/<slug:side>.<slug:form>", plate_file.plate_file, name="plate-file"),
    path("letter/<int:pk>/", letter.letter, name="letter"),
    path("customer-letter/<int:pk>/", customer_letter.customer_letter, name="customer-letter"),
    path("customer-letter/new/<int:pk>/", customer_letter.customer_letter_new, name="customer-letter-new"),
    path("<int:pk>/", sheet.sheet, name="sheet"),
]
