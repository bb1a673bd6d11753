"""Pressing a page's button as a browser would: with the hidden fields that its form carries."""

import html
import re
from itertools import count
from typing import Any

from django.test import Client

HIDDEN = ("once", "version")


def collapsed(page: Any) -> str:
    """A page, or a piece of one, with each run of spaces and line ends as one space: templates may break any line."""
    text = page.content.decode() if hasattr(page, "content") else str(page)
    return " ".join(text.split())


def press(client: Client, address: str, **sent: Any) -> Any:
    """Open the page, then post its form with what was typed."""
    return client.post(address, {**_carried(client.get(address)), **sent})


def _carried(page: Any) -> dict[str, str]:
    text = collapsed(page)
    return {name: found[1] for name in HIDDEN if (found := re.search(rf'name="{name}" value="([^"]*)"', text))}


_given = count(1)


def once() -> dict[str, str]:
    """A token as a form is given one each time it is opened."""
    return {"once": f"a-token-that-a-form-was-given-{next(_given):04}"}


def send(client: Client, address: str, **fields: Any) -> str:
    """The page after a form was sent that nobody opened first: where it led, or the form with its errors."""
    return collapsed(client.post(address, fields | once(), follow=True))


def delete_by_both(first: Client, second: Client, address: str) -> str:
    """Two people open one delete page; the first deletes, without a reason and then with one.

    Return what the second sees on deleting as well.
    """
    without = collapsed(press(first, address, reason=" "))
    assert 'id="id_reason_error"' in without
    carried = _carried(second.get(address))
    assert press(first, address, reason="line moved since").status_code == 302
    return collapsed(second.post(address, {**carried, "reason": "recorded twice"}))


def words_of(page: Any) -> str:
    """What a reader sees of a page's main part: no tags, each run of spaces and line ends as one space."""
    text = collapsed(page)
    main = text[text.index("<main") : text.index("</main>")]
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", main)).split())
