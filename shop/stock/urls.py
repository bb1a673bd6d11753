from django.urls import path

from shop.stock.views import count, move, movement, reservation, take

app_name = "stock"

urlpatterns = [
    path("<int:pk>/count/", count.count_new, name="count-new"),
    path("<int:pk>/move/", move.move_new, name="move-new"),
    path("<int:pk>/take/", take.take_new, name="take-new"),
    path("<int:pk>/reserve/", reservation.reservation_new, name="reservation-new"),
    path("reservation/<int:pk>/release/", reservation.reservation_delete, name="reservation-delete"),
    path("movement/<int:pk>/delete/", movement.movement_delete, name="movement-delete"),
]
