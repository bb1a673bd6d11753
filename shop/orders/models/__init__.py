from .chase import Chase
from .document import Document
from .event import Cancellation, Delivery, Return
from .mail import Mail
from .order import Order, OrderLine
from .promise import Promise
from .supplier import Supplier

__all__ = [
    "Cancellation",
    "Chase",
    "Delivery",
    "Document",
    "Mail",
    "Order",
    "OrderLine",
    "Promise",
    "Return",
    "Supplier",
]
