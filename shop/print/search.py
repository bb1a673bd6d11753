from django.utils.timezone import localtime
from django.utils.translation import gettext

from shop.base import written
from shop.base.language import gettext_lazy
from shop.base.search import Searched
from shop.print.models import PrintedSheet

SEARCHED = [
    Searched(
        gettext_lazy("Printed sheet"),
        38,
        PrintedSheet,
        name=lambda sheet: f"{sheet.number} {sheet.title}",
        numbers=lambda sheet: (sheet.number,),
        note=lambda sheet: gettext("printed {day}").format(day=written.day(localtime(sheet.at))),
        read=lambda rows: rows.defer("pdf", "facts"),
        address=lambda sheet: sheet.status_address,
    ),
]
