"""Replies of suppliers for tests."""

from __future__ import annotations

from itertools import count
from typing import Any

from shop.replies.models import Reply

_number = count(1)


def make_reply(**changes: Any) -> Reply:
    usual = {"message_id": f"<{next(_number)}@nuvo.example>", "sender": "odile@nuvo.example", "subject": "Your order"}
    return Reply.objects.create(**{**usual, "body": "It leaves on Monday.", **changes})
