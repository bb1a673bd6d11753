from .approval_limit import ApprovalLimit
from .chase import Chase
from .credit import Credit
from .document import Document
from .event import Cancellation, Delivery, Return
from .letter_texts import LetterTexts
from .mail import Mail
from .order import Order, OrderLine
from .price import ListPrice, SupplierNumber
from .promise import Promise
from .supplier import Supplier, SupplierClosure, SupplierContact

__all__ = [
    "ApprovalLimit",
    "Cancellation",
    "Chase",
    "Credit",
    "Delivery",
    "Document",
    "LetterTexts",
    "ListPrice",
    "Mail",
    "Order",
    "OrderLine",
    "Promise",
    "Return",
    "Supplier",
    "SupplierClosure",
    "SupplierContact",
    "SupplierNumber",
]
