"""What was printed, kept as it was printed; how a plate is made, and which of its holes are left out."""

from shop.cards.models.plates import LeftOut, PlateMaking
from shop.cards.models.printed import Printed

__all__ = ["LeftOut", "PlateMaking", "Printed"]
