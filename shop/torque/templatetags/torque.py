"""Template words about torque specs: ``{% load torque %}``."""

from django import template

from shop.base.access import system_of
from shop.torque.figure import read_why_no_figure
from shop.torque.rules import Advice, advice
from shop.torque.text import torque_text, typed_torque
from specs.models import Component, TorqueSpec

register = template.Library()
register.filter("typed_torque", typed_torque)


@register.simple_tag
def torque_advice(spec: TorqueSpec) -> Advice:
    """What to tighten to, and on whose word: ``{% torque_advice spec as advice %}``."""
    return advice(spec)


@register.simple_tag
def torques_of(component: Component) -> list[TorqueSpec]:
    """The torque specs of a component, each with why it gives no figure: ``{% torques_of component as specs %}``."""
    specs = list(component.torque_specs.all())
    read_why_no_figure(specs)
    return specs


@register.simple_tag(takes_context=True)
def wrench(context: template.Context, torque: float) -> str:
    """``{% wrench specified.torque %}``: a torque [N·m] as a wrench is set to it, in the reader's units."""
    return torque_text(torque, system_of(context["request"]))
