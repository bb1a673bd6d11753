from shop.base.search import Searched, matching
from specs.models import Component

SEARCHED = [
    Searched(
        "Components",
        30,
        lambda text: matching(Component.objects.all(), ("maker", "name", "kind", "notes"), text),
        note=lambda component: component.get_kind_display(),
    ),
]
