from shop.base.undo import Undo
from shop.worksheets.models import Worksheet

UNDO = [Undo(Worksheet, "worksheets.edit")]
