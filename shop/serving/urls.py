from django.urls import path

from shop.serving.views import health

app_name = "serving"

urlpatterns = [path("", health.health, name="health")]
