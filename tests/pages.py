"""Pressing a page's button as a browser would: with the hidden fields that its form carries."""

import html
import re
from typing import Any

from django.test import Client

HIDDEN = ("once", "version")


def collapsed(page: Any) -> str:
    """A page, or a piece of one, with each run of spaces and line ends as one space: templates may break any line."""
    text = page.content.decode() if hasattr(page, "content") else str(page)
    return re.sub(r"\s+", " ", text)


def press(client: Client, address: str, **sent: Any) -> Any:
    """Open the page, then post its form with what was typed."""
    page = collapsed(client.get(address))
    carried = {name: found[1] for name in HIDDEN if (found := re.search(rf'name="{name}" value="([^"]*)"', page))}
    return client.post(address, {**carried, **sent})


def text_of(response: Any) -> str:
    """Return a page with its whitespace collapsed: any space in a template may be a new line."""
    return " ".join(response.content.decode().split())


def delete_by_both(first: Client, second: Client, address: str) -> str:
    """Two people open one delete page; the first deletes, without a reason and then with one.

    Return what the second sees on deleting as well.
    """
    without = text_of(press(first, address, reason=" "))
    assert 'id="id_reason_error"' in without
    opened = collapsed(second.get(address))
    carried = {name: found[1] for name in HIDDEN if (found := re.search(rf'name="{name}" value="([^"]*)"', opened))}
    assert press(first, address, reason="line moved since").status_code == 302
    return text_of(second.post(address, {**carried, "reason": "recorded twice"}))


def words_of(page: Any) -> str:
    """What a reader sees of a page's main part: no tags, each run of spaces and line ends as one space."""
    text = collapsed(page)
    main = text[text.index("<main") : text.index("</main>")]
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", main)).split())
