"""Pages are sent compressed, and tell nothing of a form's secret by their length."""

import gzip
import re

import pytest

pytestmark = pytest.mark.django_db

_TOKEN = re.compile(r'name="csrfmiddlewaretoken" value="(\w+)"')


def test_a_page_is_sent_compressed_to_whoever_takes_it(owner):
    plain = owner.get("/orders/new/")
    sent = owner.get("/orders/new/", headers={"accept-encoding": "gzip"})
    assert sent["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in sent["Vary"]
    assert len(sent.content) < len(plain.content) / 2
    assert "<main" in gzip.decompress(sent.content).decode()
    assert not plain.has_header("Content-Encoding")


def test_the_token_of_a_form_is_another_in_every_answer(owner):
    pages = [owner.get("/orders/new/", headers={"accept-encoding": "gzip"}) for _ in range(8)]
    tokens = {_TOKEN.search(gzip.decompress(page.content).decode())[1] for page in pages}
    assert len(tokens) == len(pages)
    assert len({len(page.content) for page in pages}) > 1


def test_a_compressed_form_is_taken(owner):
    page = gzip.decompress(owner.get("/orders/suppliers/new/", headers={"accept-encoding": "gzip"}).content).decode()
    once = re.search(r'name="once" value="([^"]+)"', page)[1]
    sent = {"name": "Torvik", "once": once}
    answer = owner.post("/orders/suppliers/new/", sent, headers={"accept-encoding": "gzip"})
    assert answer.status_code == 302
