"""What is done to many late parts at once."""

from datetime import date
from typing import Any

from shop.base.bulk import BulkList
from shop.jobs.standing import every_job
from shop.orders.bulk import line_acts
from shop.orders.models import OrderLine
from shop.planning.inputs import read_shop
from shop.planning.late import late_rows, late_today
from shop.planning.outlook import outlook
from shop.planning.tables import LateLines


def _table(rows: Any, today: date) -> LateLines:
    every = every_job(today)
    lines, held = late_today(today, every, read_shop, outlook(read_shop(today, every=every)))
    return LateLines(late_rows(today, lines, held).filter(pk__in=rows.values("pk")), today=today, held=held)


BULK = [
    BulkList(
        "planning.late",
        lambda: OrderLine.objects.to_come().with_story(),
        line_acts(),
        table=_table,
        state=lambda line: f"{line.version}/{line.left.normalize():f}/{line.promise_count}/{line.expected or ''}",
    )
]
