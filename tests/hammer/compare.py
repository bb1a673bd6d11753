"""The ledger held against the database: every fault in words."""

from collections import Counter, defaultdict
from itertools import pairwise
from typing import Any

from shop.orders.models import Order, OrderLine, Supplier
from shop.vehicles.models import Customer
from tests.hammer.ledger import FILE_ROWS, Act, File, Ledger, notes_of

KEPT = ("version", "name", "phone", "address", "notes", "deleted_at", "deleted_reason")


def faults_of(ledger: Ledger) -> list[str]:
    """Compare everything; [] where no acknowledged act is lost, half-written or done twice."""
    acts: dict[int, list[Act]] = defaultdict(list)
    for act in ledger.acts:
        acts[act.record].append(act)
    histories: dict[int, list[Any]] = defaultdict(list)
    for row in Customer.history.order_by("id", "version", "history_id"):
        histories[row.id].append(row)
    customers = {customer.pk: customer for customer in Customer.objects.all()}
    faults = list(ledger.wrong)
    for key in sorted({*acts, *histories, *customers}):
        found = _record(customers.get(key), histories[key], acts[key])
        faults += [f"customer {key}: {fault}" for fault in found]
    faults += _refused_wrote(ledger, histories)
    for file in ledger.files:
        faults += [f"{file.supplier}: {fault}" for fault in _file(file, ledger)]
    return faults


def _record(customer: Customer | None, history: list[Any], acts: list[Act]) -> list[str]:
    if customer is None:
        return ["is gone"] if any(act.kept for act in acts) else []
    if [row.version for row in history] != list(range(1, customer.version + 1)):
        return [f"version {customer.version}, its history has {[row.version for row in history]}"]
    faults = [f"version {row.version} is half-written" for row in history if not _is_whole(row)]
    if any(getattr(history[-1], name) != getattr(customer, name) for name in KEPT):
        faults.append("is not as its history says")
    return faults + _unequal(history, acts) + _last_state(customer, acts)


def _is_whole(row: Any) -> bool:
    return row.phone == row.address and row.notes == notes_of(row.phone)


def _unequal(history: list[Any], acts: list[Act]) -> list[str]:
    """What was written against what was acknowledged: the same acts of the same persons, each once."""
    written: Counter[tuple[str, str, int | None]] = Counter()
    brought_back: Counter[int | None] = Counter()
    for before, row in pairwise([None, *history]):
        gone, was_gone = row.deleted_at is not None, before is not None and before.deleted_at is not None
        saved = before is None or row.phone != before.phone
        if saved:
            written["save", row.phone, row.history_user_id] += 1
        if gone and not was_gone:
            written["delete", row.deleted_reason, row.history_user_id] += 1
        if was_gone and not gone:
            brought_back[row.history_user_id] += 1
        if not saved and gone == was_gone:
            written["nothing", f"version {row.version}", row.history_user_id] += 1
    told = Counter(
        ("save" if act.what in ("made", "new") else act.what, act.mark, act.person)
        for act in acts
        if act.kept and act.mark
    )
    faults = [f"lost or written otherwise: {one}" for one in (told - written).elements()]
    faults += [f"written, and nobody was told: {one}" for one in (written - told).elements()]
    # Pressed by two at once, the second finds it back already and is told the same.
    undone = Counter(act.person for act in acts if act.kept and act.what == "undo")
    return faults + [f"brought back by {one}, who was not told so" for one in (brought_back - undone).elements()]


def _last_state(customer: Customer, acts: list[Act]) -> list[str]:
    """Deleted or not, as one of the last acknowledgements said: those that no other began after."""
    turns = [act for act in acts if act.kept and act.what in ("made", "new", "delete", "undo")]
    last = [act for act in turns if all(other.began <= act.ended for other in turns)]
    may_be = {act.what == "delete" for act in last} or {False}
    return [] if customer.is_deleted in may_be else [f"deleted is {customer.is_deleted}, the last answer said not so"]


def _refused_wrote(ledger: Ledger, histories: dict[int, list[Any]]) -> list[str]:
    there = {text for rows in histories.values() for row in rows for text in (row.phone, row.deleted_reason)}
    refused = [act for act in ledger.acts if not act.kept and act.mark]
    return [f"refused, and written all the same: {act}" for act in refused if act.mark in there]


def _file(file: File, ledger: Ledger) -> list[str]:
    told = sum(count for supplier, count in ledger.written if supplier == file.supplier)
    suppliers = Supplier.objects.filter(name=file.supplier)
    orders = list(Order.objects.filter(supplier__in=suppliers).prefetch_related("lines").order_by("reference"))
    faults = [] if len(suppliers) == 1 else [f"{len(suppliers)} suppliers of this name"]
    if told != file.orders:
        faults.append(f"people were told of {told} orders brought in, the file has {file.orders}")
    if [order.reference for order in orders] != file.references:
        faults.append(f"{len(orders)} orders on record, the file has {file.orders}, each once")
    half = [order.reference for order in orders if sorted(line.text for line in order.lines.all()) != sorted(FILE_ROWS)]
    faults += [f"order {reference} has not its two lines" for reference in half]
    pks = [order.pk for order in orders]
    histories = Order.history.filter(id__in=pks).count(), OrderLine.history.filter(order_id__in=pks).count()
    if histories != (len(pks), OrderLine.objects.filter(order__in=pks).count()):
        faults.append(f"its histories are {histories}")
    return faults
