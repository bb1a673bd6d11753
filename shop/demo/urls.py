from django.urls import path

from shop.demo.views import sample_data

app_name = "demo"

urlpatterns = [path("", sample_data.sample_data, name="sample-data")]
