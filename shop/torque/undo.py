from shop.base.undo import Undo
from specs.models import TorqueSpec

UNDO = [Undo(TorqueSpec, "measuring.judge")]
