from django.urls import path

from shop.orders.models import Cancellation, Chase, Delivery, Document, Order, Promise, Return, Supplier
from shop.orders.views import documents, happenings, importing, late, letters, orders, suppliers

app_name = "orders"

urlpatterns = [
    path("", orders.orders, name="list"),
    path("new/", orders.new, name="new"),
    path("import/", importing.bring_in_orders, name="import"),
    path("late/", late.late, name="late"),
    path("<int:pk>/", orders.order, name="order"),
    path("<int:pk>/change/", orders.change, name="change"),
    path("<int:pk>/withdraw/", happenings.withdraw, {"model": Order}, name="withdraw"),
    path("<int:pk>/line/", orders.line_new, name="line-new"),
    path("<int:pk>/promise/", happenings.promise, name="promise"),
    path("<int:pk>/delivery/", happenings.delivery, name="delivery"),
    path("<int:pk>/chase/", happenings.chase, name="chase"),
    path("<int:pk>/letter/", letters.letter, name="letter"),
    path("<int:pk>/document/", documents.attach, name="attach"),
    path("document/<int:pk>/", documents.document, name="document"),
    path("document/<int:pk>/withdraw/", happenings.withdraw, {"model": Document}, name="document-withdraw"),
    path("chase/<int:pk>/letter/", letters.letter_print, name="letter-print"),
    path("mail/", letters.mail, name="mail"),
    path("mail/<int:pk>/", letters.message, name="message"),
    path("mail/<int:pk>/again/", letters.message_again, name="message-again"),
    path("mail/<int:pk>/drop/", letters.message_drop, name="message-drop"),
    path("line/<int:pk>/change/", orders.line_change, name="line-change"),
    path("line/<int:pk>/send-back/", happenings.send_back, name="send-back"),
    path("line/<int:pk>/cancel/", happenings.cancel, name="cancel"),
    path("return/<int:pk>/money/", happenings.money_back, {"model": Return}, name="return-money"),
    path("cancellation/<int:pk>/money/", happenings.money_back, {"model": Cancellation}, name="cancellation-money"),
    path("chase/<int:pk>/change/", happenings.chase_change, name="chase-change"),
    path("promise/<int:pk>/withdraw/", happenings.withdraw, {"model": Promise}, name="promise-withdraw"),
    path("delivery/<int:pk>/withdraw/", happenings.withdraw, {"model": Delivery}, name="delivery-withdraw"),
    path("return/<int:pk>/withdraw/", happenings.withdraw, {"model": Return}, name="return-withdraw"),
    path("cancellation/<int:pk>/withdraw/", happenings.withdraw, {"model": Cancellation}, name="cancellation-withdraw"),
    path("chase/<int:pk>/withdraw/", happenings.withdraw, {"model": Chase}, name="chase-withdraw"),
    path("suppliers/", suppliers.suppliers, name="suppliers"),
    path("suppliers/new/", suppliers.new, name="supplier-new"),
    path("suppliers/<int:pk>/", suppliers.supplier, name="supplier"),
    path("suppliers/<int:pk>/change/", suppliers.change, name="supplier-change"),
    path("suppliers/<int:pk>/withdraw/", happenings.withdraw, {"model": Supplier}, name="supplier-withdraw"),
]
