from shop.base.undo import Undo
from specs.models import HolePattern, MatingFeature, Measurement

UNDO = [Undo(model, "measuring.judge") for model in (HolePattern, MatingFeature, Measurement)]
