"""What is stored is shown: every field of a model is named on some page, list, form or sheet."""

import re
from functools import cache
from pathlib import Path

import pytest
from django.apps import apps
from django.db.models import Field, Model
from simple_history.models import HistoricalChanges

ROOT = Path(__file__).parent.parent
# Where a person meets a field: templates, and the files that write what pages and paper say.
# The network of a job says in words what each part, decision and worksheet of a step waits for.
READ_BY_PEOPLE = (
    "forms",
    "tables",
    "text",
    "views",
    "panels",
    "story",
    "facts",
    "templatetags",
    "search",
    "jobs/network",
)

# Fields that nobody needs to see, each with the reason.
UNSEEN = {
    "version": "compared at each save",
    "planning.KeptForecast.fingerprint": "a digest of what the forecast was drawn from",
    "planning.KeptForecast.result": "what it came to, shown in words on the forecast, Today and Late",
    "base.SubmittedForm.*": "marks against double presses",
    "base.LongWork.beat_at": "decides whether the site was ended meanwhile, which is said",
    "demo.DemoMark.*": "says that the database is a demo's",
    "people.Preferences.user": "the reader",
    "print.PrintedSheet.facts": "the sheet itself shows them",
    "print.PrintedSheet.sha256": "proves the file",
    "orders.Supplier.record_mark": "says that something about their orders changed",
    "orders.OrderLine.awaited": "the pieces still to come say it",
    "orders.OrderLine.heard": "the days of silence say it",
    "orders.OrderLine.came_on": "the deliveries say it",
    "orders.OrderLine.cancelled_on": "the cancellations say it",
    "orders.Document.digest": "proves the file",
    "orders.Document.content_type": "told to the browser that fetches the file",
    "attachments.Attachment.content_type": "told to the browser that fetches the file",
    "attachments.Attachment.digest": "proves the file",
    "orders.Mail.message_id": "names the message to mail servers",
    "orders.Mail.occasion": "keeps one message from being written twice",
    "orders.Mail.taken_at": "keeps two senders from sending one message",
    "payables.InvoicedDelivery.*": "stands beside its delivery as the invoice's number",
    "payables.InvoicedLine.*": "stands on its invoice as a line",
    "replies.Reply.message_id": "names the message to mail servers",
    "payables.SetOff.*": "stands on its invoice as a credit",
    "jobs.JobTorque.doubt_reason": "shown with the figure that it settles, as `accepted_doubt`",
    "jobs.JobTorque.doubt_figure": "the figure that the reason settles",
    "jobs.JobTorque.doubt_at": "the history says when",
    "jobs.TorqueTie.job_torque": "stands under its torque",
    "jobs.TorqueTie.tied_at": "the history says when",
    "jobs.SignOff.pieces": "what the signature rests on: told when one of them is gone",
    "jobs.SignOff.asked": "what the signature rests on: told when it changes",
    "jobs.Step.pieces": "what the step rests on: told when one of them is gone",
    "jobs.GuardChange.job": "stands on the card of its job",
    "jobs.GuardChange.template_step": "stands under its step",
    "jobs.SignOff.value_typed": "shown as `tightened`",
    "jobs.SignOff.angle_typed": "shown as `tightened`",
    "jobs.SignOff.specified_value": "shown in words as `specified`",
    "jobs.RegulatedItem.override_at": "the history says when",
    "jobs.StepOverride.is_current": "only current ones are shown",
    "planning.CalendarLink.digest": "the secret's fingerprint",
    "planning.CalendarLink.revoked_at": "a revoked link is gone from the page",
    "jobs.TimeEntry.ended_at": "the hours beside the start say it",
    "worksheets.WorksheetInput.set_at": "the history beside the worksheet says it",
}


def models() -> list[type[Model]]:
    ours = [
        model
        for app in apps.get_app_configs()
        if app.name.split(".")[0] in ("shop", "specs")
        for model in app.get_models()
    ]
    return [model for model in ours if not issubclass(model, HistoricalChanges)]


def fields() -> list[tuple[type[Model], Field]]:
    return [(model, field) for model in models() for field in model._meta.local_fields if not field.primary_key]


@cache
def texts() -> str:
    files = [*(ROOT / "templates").rglob("*.html")]
    for file in (ROOT / "shop").rglob("*.py"):
        if "migrations" not in file.parts and any(word in str(file.relative_to(ROOT)) for word in READ_BY_PEOPLE):
            files.append(file)
    return "\n".join(file.read_text() for file in files)


@pytest.mark.parametrize(
    ("model", "field"), fields(), ids=lambda one: getattr(one, "__name__", getattr(one, "name", ""))
)
def test_a_field_is_shown_somewhere(model: type[Model], field: Field) -> None:
    label = model._meta.label
    if {field.name, f"{label}.*", f"{label}.{field.name}"} & UNSEEN.keys():
        return
    named = re.search(rf"[.\"'_]{field.name}\b", texts())
    assert named, f"{label}.{field.name} is on no page, list, form or sheet; show it, or give the reason in UNSEEN"
