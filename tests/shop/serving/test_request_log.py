"""A line a request, in JSON, with nothing in it about a person; a fault is named by kind and place."""

import json
import logging
from typing import Any

import pytest
from django.core.exceptions import PermissionDenied
from django.test import Client

from shop.serving import request_log
from shop.serving.request_log import JsonLines, logging_of


@pytest.fixture
def lines(caplog: pytest.LogCaptureFixture) -> Any:
    caplog.set_level(logging.DEBUG)
    # The loggers of the site end at their own handler: let the test hear them too.
    for name in ("shop.requests", "django.request", "axes", "django"):
        logging.getLogger(name).addHandler(caplog.handler)
    logging.getLogger("shop.requests").setLevel(logging.INFO)
    yield lambda name="": [JsonLines().format(record) for record in caplog.records if record.name.startswith(name)]
    for name in ("shop.requests", "django.request", "axes", "django"):
        logging.getLogger(name).removeHandler(caplog.handler)


def test_a_request_is_named_by_the_pattern_of_its_address(owner: Client, people: Any, lines: Any) -> None:
    owner.get(f"/people/{people['fitter'].pk}/?q=somebody", REMOTE_ADDR="10.7.7.7")
    said = json.loads(lines("shop.requests")[-1])
    assert (said["method"], said["address"], said["status"]) == ("GET", "people/<int:pk>/", 200)
    assert set(said) - {"slow"} == {"at", "level", "from", "method", "address", "status", "ms"}


def test_a_slow_one_is_named_so(fitter: Client, lines: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(request_log, "SLOW", 0.0)
    fitter.get("/")
    assert json.loads(lines("shop.requests")[-1])["slow"] is True


def test_wrong_passwords_leave_neither_name_nor_address(client: Client, db: None, lines: Any) -> None:
    for _ in range(6):
        client.post("/people/sign-in/", {"username": "ama-of-the-bench", "password": "guess"}, REMOTE_ADDR="10.7.7.7")
    everything = "\n".join(lines())
    assert "429" in everything
    assert "ama-of-the-bench" not in everything
    assert "10.7.7.7" not in everything


def test_a_refused_page_leaves_no_traceback(machinist: Client, lines: Any) -> None:
    assert machinist.get("/people/").status_code == 403
    assert json.loads(lines("shop.requests")[-1])["status"] == 403
    assert [line for line in lines() if "fault" in json.loads(line)] == []


def test_a_fault_is_told_by_kind_and_place_without_its_words() -> None:
    try:
        raise PermissionDenied("Ama Okoro may not")
    except PermissionDenied as fault:
        record = logging.LogRecord("shop", 40, "", 1, "it failed", (), (type(fault), fault, fault.__traceback__))
    said = json.loads(JsonLines().format(record))
    assert said["fault"] == "PermissionDenied"
    assert "test_request_log.py" in said["through"][-1]
    assert "Ama" not in json.dumps(said)


def test_where_the_site_is_served_every_line_is_json() -> None:
    assert logging_of(json_lines=True)["handlers"]["console"]["formatter"] == "json"
    assert logging_of(json_lines=False)["handlers"]["console"]["formatter"] == "plain"
