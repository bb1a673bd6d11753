from shop.orders.models import Order, Supplier
from shop.ui.searching import Searched

SEARCHED = [
    Searched(
        "Orders",
        40,
        lambda text: Order.objects.standing().search(text).select_related("supplier"),
        note=lambda order: str(order.supplier),
    ),
    Searched("Suppliers", 45, lambda text: Supplier.objects.standing().search(text)),
]
