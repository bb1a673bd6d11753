"""Template words about torque specs: ``{% load torque %}``."""

from django import template

from shop.torque.rules import Advice, advice
from specs.models import TorqueSpec

register = template.Library()


@register.simple_tag
def torque_advice(spec: TorqueSpec) -> Advice:
    """What to tighten to, and on whose word: ``{% torque_advice spec as advice %}``."""
    return advice(spec)
