from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.undo import Undo
from shop.payables.models import Invoice
from shop.payables.queries import uninvoiced


def _refuse_taken(invoice: Invoice) -> None:
    """What it is for may be on another invoice since."""
    mine = {one.pk for one in invoice.deliveries()}
    free = set(uninvoiced(invoice.supplier_id, besides=invoice.pk).values_list("pk", flat=True))
    if taken := mine - free:
        raise ValidationError(
            gettext("{taken} of its deliveries are on another invoice since.").format(taken=len(taken))
        )


UNDO = [Undo(Invoice, "payables.record", check=_refuse_taken)]
