from shop.base.undo import Undo
from shop.replies.models import Reply

UNDO = [Undo(Reply, "orders.chase")]
