"""A part of a template made once for what it depends on: ``{% kept menu=menu owner=shop_name %}…{% endkept %}``.

Most of a page's frame is the same from page to page. Inside the tag nothing is known but what is named, so that nothing
else can decide what it says, and the reader's language and way to write figures, which every text asks for.
"""

from __future__ import annotations

from collections.abc import Hashable
from typing import Any

from django.template import Context, Node, NodeList, TemplateSyntaxError
from django.template.base import FilterExpression, Parser, Token, token_kwargs
from django.template.defaulttags import CsrfTokenNode
from django.template.loader_tags import BlockNode
from django.urls import get_script_prefix, get_urlconf
from django.utils.safestring import SafeString
from django.utils.translation import get_language, gettext

from specs.written import form

MOST = 400
"""Of one part of a template, for so many persons, menus and the like; then it is begun anew."""
MOST_LETTERS = 250_000
"""Of one part together: a typed table is long, and hardly ever the same."""


class KeptMarkup(Node):
    """Markup by the named values that it was made of; these are plain, or told apart by being that object."""

    def __init__(self, nodelist: NodeList, named: dict[str, FilterExpression]) -> None:
        self.nodelist, self.named = nodelist, named
        self._kept: dict[Hashable, SafeString] = {}
        self._letters = 0

    def render(self, context: Context) -> SafeString:
        given = {name: value.resolve(context, ignore_failures=True) for name, value in self.named.items()}
        key = (get_language(), form(), get_urlconf(), get_script_prefix(), *given.values())
        kept = self.kept(key)
        if kept is None:
            kept = self._keep(key, self.nodelist.render(context.new(given)))
        return kept

    def kept(self, key: Hashable) -> SafeString | None:
        """What was made for these values, where it still is there."""
        return self._kept.get(key)

    def _keep(self, key: Hashable, made: SafeString) -> SafeString:
        if len(self._kept) >= MOST or self._letters > MOST_LETTERS:
            self._kept.clear()
            self._letters = 0
        self._kept[key] = made
        self._letters += len(made)
        return made


def kept(parser: Parser, token: Token) -> KeptMarkup:
    """``{% kept name=value … %}``: what stands up to ``{% endkept %}`` is made once for each set of these values."""
    _, *words = token.split_contents()
    named: dict[str, Any] = token_kwargs(words, parser)
    nodelist = parser.parse(("endkept",))
    parser.delete_first_token()
    if words or nodelist.get_nodes_by_type((BlockNode, CsrfTokenNode)):  # type: ignore[arg-type]
        raise TemplateSyntaxError(gettext("kept takes name=value, and holds neither a block nor a form's token"))
    return KeptMarkup(nodelist, named)
