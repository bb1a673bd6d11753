"""Draw the forecast that the pages show."""

from typing import Any

from django.utils import timezone
from django.utils.translation import gettext

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.planning.drawing import draw_where_it_moved


class Command(ShopCommand):
    help = gettext_lazy("Draw the forecast of the shop as it stands, where anything moved that the last one rests on.")

    def handle(self, *args: Any, **options: Any) -> None:
        drawn = draw_where_it_moved(timezone.localdate(), timezone.now())
        self.stdout.write(gettext("The forecast was drawn.") if drawn else gettext("Nothing moved since the last one."))
