from .chase import Chase
from .event import Cancellation, Delivery, Return
from .order import Order, OrderLine
from .promise import Promise
from .supplier import Supplier

__all__ = ["Cancellation", "Chase", "Delivery", "Order", "OrderLine", "Promise", "Return", "Supplier"]
