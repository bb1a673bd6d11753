"""What is written down about running: one JSON object a line, on standard error, and nothing about persons.

A request is named by the pattern of its address (`people/<int:pk>/`), never by what stood in it; a fault by its kind
and the places in the code it came through, without its words, which may quote what somebody typed.
"""

from __future__ import annotations

import json
import logging
import time
import traceback
from collections.abc import Callable
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:  # The process that watches the others logs as they do, and reads nothing of Django.
    from django.http import HttpRequest
    from django.http.response import HttpResponseBase

SLOW = 1.0
"""Seconds from which a request is named slow."""
log = logging.getLogger("shop.requests")


class RequestLog:
    """Write one line about every request that was answered."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        began = time.perf_counter()
        response = self.get_response(request)
        log.info("request", extra={"facts": facts_of(request, response, time.perf_counter() - began)})
        return response


def facts_of(request: HttpRequest, response: HttpResponseBase, took: float) -> dict[str, Any]:
    """What a line says of a request."""
    match = request.resolver_match
    facts: dict[str, Any] = {
        "method": request.method if request.method in _METHODS else "other",
        "address": match.route if match else "static" if response.status_code in (200, 304) else "none",
        "status": response.status_code,
        "ms": round(took * 1000),
    }
    if took >= SLOW:
        facts["slow"] = True
    return facts


_METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")


class JsonLines(logging.Formatter):
    """A record as one line of JSON."""

    def format(self, record: logging.LogRecord) -> str:
        said: dict[str, Any] = {
            "at": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "from": record.name,
        }
        facts = getattr(record, "facts", None)
        said |= facts if facts is not None else {"words": _words(record)}
        if record.exc_info and record.exc_info[0]:
            said |= _fault(record.exc_info)
        return json.dumps(said, ensure_ascii=False, default=str)


def _words(record: logging.LogRecord) -> str:
    """The record's words; of a failed request only its number, for the words hold the address as it was typed."""
    status = getattr(record, "status_code", None)
    return f"answered {status}" if status else record.getMessage()


def _fault(exc_info: Any) -> dict[str, Any]:
    kind, fault, _ = exc_info
    frames = traceback.extract_tb(fault.__traceback__)
    return {"fault": kind.__name__, "through": [f"{frame.filename}:{frame.lineno} {frame.name}" for frame in frames]}


def logging_of(*, json_lines: bool) -> dict[str, Any]:
    """The set-up of logging: JSON lines where the site is served, plain words for the person at this machine."""
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"json": {"()": "shop.serving.request_log.JsonLines"}, "plain": {"format": "%(message)s"}},
        "handlers": {
            "console": {"class": "logging.StreamHandler", "formatter": "json" if json_lines else "plain"},
        },
        "root": {"handlers": ["console"], "level": "WARNING"},
        "loggers": {
            "django": {"handlers": ["console"], "level": "WARNING", "propagate": False},
            # A refused page is no fault: the line of the request says 403 or 404. A 500 is told with where it arose.
            "django.request": {"handlers": ["console"], "level": "ERROR", "propagate": False},
            "django.security": {"handlers": ["console"], "level": "CRITICAL", "propagate": False},
            # Its warnings hold the name that was tried and the address that tried it.
            "axes": {"handlers": ["console"], "level": "ERROR", "propagate": False},
            "shop": {"handlers": ["console"], "level": "INFO", "propagate": False},
            "shop.requests": {
                "handlers": ["console"],
                "level": "INFO" if json_lines else "WARNING",
                "propagate": False,
            },
        },
    }


def gunicorn_logging() -> dict[str, Any]:
    """gunicorn's own words in the same lines; its warnings about what could not be read hold addresses."""
    chosen = {"handlers": ["console"], "level": "ERROR", "propagate": False}
    of_site = logging_of(json_lines=True)
    return {**of_site, "loggers": {**of_site["loggers"], "gunicorn.error": chosen, "gunicorn.access": chosen}}
