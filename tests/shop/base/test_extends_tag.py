"""A template that leads on to another fills its blocks as with Django's own tag, whichever was shown before."""

from django.template import Context, Engine
from django.template.base import NodeList

from shop.base.extends_tag import KnownParent

TEMPLATES = {
    "frame": "<{% block head %}head{% endblock %}|{% if on %}{% block main %}main{% endblock %}{% endif %}>",
    "room": "{% extends 'frame' %}{% block main %}room: {% block list %}list{% endblock %}{% endblock %}",
    "one": "{% extends 'room' %}{% block list %}one {{ block.super }}{% endblock %}",
    "two": "{% extends 'frame' %}{% block head %}two {{ block.super }}{% endblock %}{% block list %}lost{% endblock %}",
    "either": "{% extends which %}{% block list %}either{% endblock %}",
}


def engine(*builtins: str) -> Engine:
    loaders = [("django.template.loaders.cached.Loader", [("django.template.loaders.locmem.Loader", TEMPLATES)])]
    return Engine(loaders=loaders, builtins=list(builtins))


def said(of: Engine) -> list[str]:
    known = [{"on": on, "which": which} for on in (True, False) for which in ("frame", "room")]
    return [of.get_template(name).render(Context(one)) for _ in "ab" for one in known for name in TEMPLATES]


def test_every_block_is_filled_as_django_fills_it() -> None:
    ours = engine("shop.base.templatetags.base")
    assert said(ours) == said(engine())
    assert "<head|room: one list>" in said(ours)
    assert isinstance(ours.get_template("one").nodelist[0], KnownParent)


def test_the_frame_is_looked_through_once(monkeypatch) -> None:
    ours, looked, look = engine("shop.base.templatetags.base"), [], NodeList.get_nodes_by_type

    def counted(nodes: NodeList, nodetype: type) -> list:
        looked.append(nodes)
        return look(nodes, nodetype)

    said(ours)
    monkeypatch.setattr(NodeList, "get_nodes_by_type", counted)
    said(ours)
    assert looked == []
