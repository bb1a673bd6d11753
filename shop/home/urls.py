from django.urls import path

from shop.home.views import help, icon, interrupted, search, today, undo

app_name = "home"

urlpatterns = [
    path("", today.today, name="today"),
    path("favicon.ico", icon.icon, name="icon"),
    path("help/", help.help, name="help"),
    path("help/<slug:name>/", help.help_topic, name="help-topic"),
    path("search/", search.search, name="search"),
    path("interrupted/<int:pk>/", interrupted.interrupted, name="interrupted"),
    path("undo/<str:label>/<int:pk>/", undo.undo, name="undo"),
]
