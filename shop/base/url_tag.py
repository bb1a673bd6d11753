"""``{% url "jobs:job" job.pk %}`` as Django's own, for a page by its record's number worked out once and not each time.

A page of one thing holds a hundred addresses, and `reverse` looks for each through all that the site answers.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from django.template import Context
from django.template.base import Parser, Token
from django.template.defaulttags import URLNode
from django.template.defaulttags import url as django_url
from django.urls import get_script_prefix, get_urlconf, reverse
from django.utils.html import conditional_escape

from specs.addresses import page_address


class PageAddress(URLNode):
    """An address without parts, or with one whole number; any other as Django makes it."""

    def render(self, context: Context) -> str:
        if self.kwargs or self.asvar or len(self.args) > 1:
            return super().render(context)
        name, given = self.view_name.resolve(context), [one.resolve(context) for one in self.args]
        if not given:
            return _escaped(_address(name, get_script_prefix(), get_urlconf()), context)
        if type(given[0]) is not int or given[0] < 0:
            return super().render(context)
        return _escaped(page_address(name, given[0]), context)


def _escaped(address: str, context: Context) -> str:
    return conditional_escape(address) if context.autoescape else address


@lru_cache(maxsize=1_000)
def _address(name: str, prefix: str, urlconf: str | None) -> str:
    return reverse(name)


def url(parser: Parser, token: Token) -> Any:
    """Django's own tag, whose node is ours."""
    node = django_url(parser, token)
    return PageAddress(node.view_name, node.args, node.kwargs, node.asvar)
