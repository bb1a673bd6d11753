from shop.base.undo import Undo
from shop.vehicles.models import Customer, Fitted, Vehicle

UNDO = [Undo(model, "vehicles.manage") for model in (Customer, Vehicle, Fitted)]
