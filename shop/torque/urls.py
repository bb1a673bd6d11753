from django.urls import path

from shop.torque.views import spec

app_name = "torque"

urlpatterns = [
    path("specs/", spec.specs, name="specs"),
    path("components/<int:pk>/torque/new/", spec.spec_new, name="spec-new"),
    path("specs/<int:pk>/", spec.spec, name="spec"),
    path("specs/<int:pk>/edit/", spec.spec_edit, name="spec-edit"),
    path("specs/<int:pk>/confirm/", spec.spec_confirm, name="spec-confirm"),
    path("specs/<int:pk>/delete/", spec.spec_delete, name="spec-delete"),
]
