from django.urls import path

from shop.home.views import bulk, help, icon, interrupted, long_work, search, setup, shop_details, today, undo

app_name = "home"

urlpatterns = [
    path("", today.today, name="today"),
    path("favicon.ico", icon.icon, name="icon"),
    path("help/", help.help, name="help"),
    path("help/<slug:name>/", help.help_topic, name="help-topic"),
    path("shop/", shop_details.shop_details, name="shop-details"),
    path("setup/<slug:name>/skip/", setup.setup_skip, name="setup-skip"),
    path("work/<int:pk>/", long_work.long_work, name="long-work"),
    path("bulk/<int:pk>/", bulk.bulk_change, name="bulk-change"),
    path("bulk/<int:pk>/undo/", bulk.bulk_undo, name="bulk-undo"),
    path("bulk/<str:name>/", bulk.bulk_new, name="bulk-new"),
    path("search/", search.search, name="search"),
    path("interrupted/<int:pk>/", interrupted.interrupted, name="interrupted"),
    path("undo/<str:label>/<int:pk>/", undo.undo, name="undo"),
]
