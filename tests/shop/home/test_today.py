"""The first page in an empty workshop; what it shows in the demo's stands in test_demo.py, beside the demo's making."""

from django.test import Client


def test_an_empty_shop_says_what_to_do_next(fitter: Client) -> None:
    page = fitter.get("/").content.decode()
    for words in ("Nothing is ready for you", "Nothing is past the day", "Nobody is due", "No worksheet changed"):
        assert words in page
