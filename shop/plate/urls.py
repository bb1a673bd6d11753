from django.urls import path

from shop.plate.views import bolts, clocking, hole, making, thickness

app_name = "plate"

urlpatterns = [
    path("<int:pk>/clocking/", clocking.clocking, name="clocking"),
    path("<int:pk>/bolts/", bolts.bolts, name="bolts"),
    path("<int:pk>/bolts/leave-out/", hole.hole_leave_out, name="hole-leave-out"),
    path("left-out/<int:pk>/use-again/", hole.hole_use_again, name="hole-use-again"),
    path("<int:pk>/thickness/", thickness.thickness, name="thickness"),
    path("<int:pk>/making/", making.making, name="making"),
]
