"""Template words about the reader, available on every page without a load."""

from django import template

from shop.base.roles import may as person_may

register = template.Library()


@register.simple_tag(takes_context=True)
def may(context: template.Context, action: str) -> bool:
    """``{% may "orders.chase" as can_chase %}``: whether the reader may do the action."""
    return person_may(context["request"].user, action)
