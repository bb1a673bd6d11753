from django.urls import path

from shop.planning.views import calendar, forecast, late, mail_test, morning_mail, notices, ready, to_order, wait_or_buy

app_name = "planning"

urlpatterns = [
    path("late/", late.late, name="late"),
    path("to-order/", to_order.to_order, name="to-order"),
    path("ready/", ready.ready, name="ready"),
    path("forecast/", forecast.forecast, name="forecast"),
    path("line/<int:pk>/", wait_or_buy.wait_or_buy, name="wait-or-buy"),
    path("notices/", notices.notices, name="notices"),
    path("notices/link/", calendar.calendar_link_new, name="calendar-link-new"),
    path("notices/link/revoke/", calendar.calendar_link_delete, name="calendar-link-delete"),
    path("notices/morning-mail/", morning_mail.morning_mail, name="morning-mail"),
    path("notices/test/", mail_test.mail_test, name="mail-test"),
    path("calendar/<str:secret>.ics", calendar.calendar, name="calendar"),
]
