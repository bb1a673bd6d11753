from shop.base.search import Searched
from shop.orders.models import Order, Supplier

SEARCHED = [
    Searched(
        "Orders",
        40,
        lambda text: Order.objects.search(text).select_related("supplier"),
        note=lambda order: str(order.supplier),
    ),
    Searched("Suppliers", 45, lambda text: Supplier.objects.search(text)),
]
