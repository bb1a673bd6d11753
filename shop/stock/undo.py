from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.undo import Undo
from shop.base.written import num
from shop.stock.models import Movement, Part, Reservation


def _refuse_what_is_gone(record: Movement | Reservation) -> None:
    """What was taken or reserved since may have taken its place."""
    if isinstance(record, Movement) and record.kind not in ("taken", "counted"):
        raise ValidationError(gettext("It follows from a delivery or a return: bring that back on its order."))
    if isinstance(record, Movement) and record.part_need_id:
        raise ValidationError(gettext("The step waits for it again: take it from the shelf again."))
    part = Part.objects.with_stock().get(pk=record.part_id)
    wanted = record.quantity if isinstance(record, Reservation) else -record.quantity
    if wanted > part.free:
        raise ValidationError(gettext("Only {num} are free on the shelf now.").format(num=num(max(part.free, 0))))


UNDO = [
    Undo(Part, "stock.parts"),
    Undo(Movement, "stock.move", check=_refuse_what_is_gone, on_page_of="part", related=("part",)),
    Undo(
        Reservation, "stock.reserve", check=_refuse_what_is_gone, on_page_of="part", related=("part", "part_need__step")
    ),
]
