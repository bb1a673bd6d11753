from shop.base.undo import Undo
from shop.measuring.changes import demand_own_name
from specs.models import HolePattern, MatingFeature, Measurement

UNDO = [
    Undo(HolePattern, "measuring.judge", check=demand_own_name),
    *(Undo(model, "measuring.judge") for model in (MatingFeature, Measurement)),
]
