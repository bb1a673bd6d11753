"""``{% extends "base.html" %}`` as Django's own, which for each page looks through all of the frame for its blocks."""

from __future__ import annotations

from typing import Any

from django.template import Context, Node, NodeList, Template
from django.template.base import Parser, Token
from django.template.loader_tags import ExtendsNode, do_extends


class _KnownNodes(NodeList):
    """The nodes of a template, which are the same for each page: what was looked for once is known."""

    def __init__(self, nodes: NodeList) -> None:
        super().__init__(nodes)
        self.contains_nontext = nodes.contains_nontext
        self._found: dict[type[Node], list[Any]] = {}

    def get_nodes_by_type(self, nodetype: type[Node]) -> list[Any]:
        if nodetype not in self._found:
            self._found[nodetype] = super().get_nodes_by_type(nodetype)
        return self._found[nodetype]


class KnownParent(ExtendsNode):
    """Leads on to a template whose blocks are known."""

    def get_parent(self, context: Context) -> Template:
        parent = super().get_parent(context)
        if not isinstance(parent.nodelist, _KnownNodes):
            parent.nodelist = _KnownNodes(parent.nodelist)
        return parent


def extends(parser: Parser, token: Token) -> KnownParent:
    """Django's own tag, whose node is ours."""
    node = do_extends(parser, token)
    return KnownParent(node.nodelist, node.parent_name)
