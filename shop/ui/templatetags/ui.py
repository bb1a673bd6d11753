"""Template words available on every page without a load."""

from django import template

register = template.Library()
