"""The block of the first page that asks for a second look at readings."""

from django.urls import reverse
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.panels import Block, Panel, Viewer
from shop.base.roles import FITTER, MACHINIST
from shop.base.rows import Row
from shop.measuring.text import farthest_apart
from shop.people.models import preferences_of
from specs.engine.units import System
from specs.models import Dimension
from specs.queries import disputed_dimensions

MOST = 5


def disputed(reader: Viewer) -> Block:
    """Dimensions whose readings contradict each other, the latest read first."""
    found = disputed_dimensions()
    system = preferences_of(reader.person).system
    return Block(
        tuple(_row(each, system) for each in found[:MOST]),
        len(found),
        gettext("No two readings contradict each other."),
        (reverse("measuring:dimensions"), gettext("All dimensions")) if len(found) > MOST else None,
    )


def _row(dimension: Dimension, system: System) -> Row:
    apart, words = farthest_apart(dimension, system)
    at = dimension.get_absolute_url()
    return Row("check", dimension, at, words, apart, "apart", red=True, act=gettext("Compare"), to=at)


PANELS = [Panel(gettext_lazy("Readings to check"), order=50, read=disputed, roles=frozenset({FITTER, MACHINIST}))]
