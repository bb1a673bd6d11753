"""Every record that matters keeps its history, and nothing writes past it."""

import ast
from collections.abc import Iterator
from pathlib import Path

from django.apps import apps
from django.db.models import Model
from simple_history.models import HistoricalChanges

ROOT = Path(__file__).parent.parent

# Models whose rows are written once or are no record of the shop's, each with the reason.
WITHOUT_HISTORY = {
    "base.SubmittedForm": "a mark against double presses: written once, swept away after a month",
    "base.InterruptedForm": "a form that its sender has not written yet: swept away after a day",
    "base.PutAway": "says what the first run leaves out: written once",
    "base.SampleRange": "says which rows are sample data: written once, taken away with them",
    "base.BulkChange": "is itself the record of what was done to many rows, and of its undo",
    "base.LongWork": "how far a work is; what it writes has its history",
    "planning.KeptForecast": "worked out anew from what it was drawn from, whenever that moves",
    "base.SearchEntry": "what a record is found by, made from it with every save: the record has its history",
    "base.PrintedNumber": "what a record is found by, made from it with every save: the record has its history",
    "people.StaffChange": "is itself the record of who did what about a person: written once, never changed",
    "jobs.GuardChange": "is itself the record of what was weakened and why: written once, never changed",
    "print.PrintedSheet": "is itself a snapshot of what left the printer: written once, never changed",
    "print.CustomerLetter": "is itself what was sent: written once, never changed",
    "demo.DemoMark": "says that the database is a demo's: written once",
    "worksheets.AcceptedRecord": "is itself a record of what was accepted: written once, never changed",
}

# Writes that history cannot see, each with the reason why that is right.
SILENT_WRITES = {
    ("specs/together.py", "_draw"): "many drawings of models at once; nothing is written",
    ("shop/base/long_work.py", "begin_again"): "of two who press at once one wins; how far a work is has no history",
    ("specs/models/base.py", "_take_version"): "decides who was first; the save right after it writes the history",
    ("shop/base/search_index.py", "_write"): "what a record is found by; the record has its history",
    ("shop/orders/line_status.py", "mark_suppliers"): "the record whose change it marks has its history",
    ("shop/orders/line_status.py", "restate"): "keeps what a line's story, which has its history, comes to",
}


def concrete_models() -> list[type[Model]]:
    return [
        model
        for app in apps.get_app_configs()
        if app.name.split(".")[0] in ("shop", "specs")
        for model in app.get_models()
        if not issubclass(model, HistoricalChanges)
    ]


def test_every_model_has_history_or_a_reason_to_have_none() -> None:
    without = {model._meta.label for model in concrete_models() if not hasattr(model, "history")}
    assert sorted(without - WITHOUT_HISTORY.keys()) == [], "give them history = HistoricalRecords(), or a reason here"
    assert sorted(WITHOUT_HISTORY.keys() - without) == [], "these have history now, or are gone: take them out here"


def silent_writes() -> Iterator[tuple[str, str, int]]:
    """Calls of update(field=…), bulk_create and bulk_update in the program: file, function, line."""
    for folder in ("shop", "specs"):
        for file in sorted((ROOT / folder).rglob("*.py")):
            if "migrations" not in file.parts:
                yield from _in_file(file)


def _in_file(file: Path) -> Iterator[tuple[str, str, int]]:
    tree = ast.parse(file.read_text())
    for function in ast.walk(tree):
        if isinstance(function, ast.FunctionDef):
            for node in ast.walk(function):
                if isinstance(node, ast.Call) and _is_silent(node):
                    yield str(file.relative_to(ROOT)), function.name, node.lineno


def _is_silent(call: ast.Call) -> bool:
    if not isinstance(call.func, ast.Attribute):
        return False
    name = call.func.attr
    # A dict subscript (context["widget"].update(…)) is no queryset; everything else with keywords is taken for one.
    over_rows = bool(call.keywords) and not isinstance(call.func.value, ast.Subscript)
    return name in ("bulk_create", "bulk_update") or (name == "update" and over_rows)


def test_no_write_goes_past_the_history() -> None:
    found = list(silent_writes())
    unknown = [f"{file}:{line} in {name}" for file, name, line in found if (file, name) not in SILENT_WRITES]
    assert unknown == [], "save() the records instead, or give a reason in SILENT_WRITES"
    gone = SILENT_WRITES.keys() - {(file, function) for file, function, _ in found}
    assert not gone, "these are gone: take them out here"
