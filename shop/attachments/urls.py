from django.urls import path

from shop.attachments.views import attachment

app_name = "attachments"

urlpatterns = [
    path("supplier/<int:pk>/", attachment.attachment_new_supplier, name="attachment-new-supplier"),
    path("job/<int:pk>/", attachment.attachment_new_job, name="attachment-new-job"),
    path("vehicle/<int:pk>/", attachment.attachment_new_vehicle, name="attachment-new-vehicle"),
    path("component/<int:pk>/", attachment.attachment_new_component, name="attachment-new-component"),
    path("<int:pk>/", attachment.attachment, name="attachment"),
    path("<int:pk>/delete/", attachment.attachment_delete, name="attachment-delete"),
]
