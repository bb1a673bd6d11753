from shop.base.undo import Undo
from shop.orders.models import Chase, Document, Order, Supplier

UNDO = [
    Undo(Order, "orders.order"),
    Undo(Supplier, "orders.order"),
    Undo(Chase, "orders.chase"),
    Undo(Document, "orders.attach"),
]
