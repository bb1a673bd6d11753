from shop.attachments.models import Attachment
from shop.base.undo import Undo

UNDO = [Undo(Attachment, "attachments.attach")]
