"""The code that a printed page carries opens that very page, read by a decoder that is not ours, or there is none."""

import re

import pytest
import zxingcpp
from django.test import Client
from PIL import Image

from shop.base.templatetags.base import LONGEST_CODE

pytestmark = pytest.mark.django_db

ASKED = "/calculate/bolt-length/?grip=30.5+mm&thread=M10"
SCALE = 6


def code_of(page: str) -> Image.Image | None:
    """The code of a page as it is printed, drawn from its strokes: M begins, m moves on, h draws to the right."""
    found = re.search(r'<svg[^>]*viewBox="0 0 (\d+) \1"[^>]*class="code".*?</svg>', page)
    if found is None:
        return None
    side, (x, y) = int(found[1]), (0.0, 0.0)
    image = Image.new("L", (side * SCALE, side * SCALE), 255)
    for act, told in re.findall(r"([Mmh])([^Mmhz\"]+)", re.search(r' d="([^"]+)"', found[0])[1]):
        move = [float(one) for one in re.findall(r"-?[\d.]+", told)]
        if act == "h":
            image.paste(
                0, [round(edge) for edge in (x * SCALE, (y - 0.5) * SCALE, (x + move[0]) * SCALE, (y + 0.5) * SCALE)]
            )
            x += move[0]
        else:
            x, y = (move[0], move[1]) if act == "M" else (x + move[0], y + move[1])
    return image


def read(page: str) -> list[str]:
    image = code_of(page)
    return [] if image is None else [found.text for found in zxingcpp.read_barcodes(image)]


def page_at(client: Client, length: int) -> tuple[str, str]:
    """A page whose whole address has so many letters, and the address."""
    whole = f"http://testserver{ASKED}&"
    address = whole + "n" * (length - len(whole))
    return client.get(address.removeprefix("http://testserver")).content.decode(), address


@pytest.mark.parametrize("length", [100, LONGEST_CODE])
def test_the_code_of_a_page_is_its_whole_address(fitter: Client, length: int) -> None:
    page, address = page_at(fitter, length)
    assert read(page) == [address]
    assert "Opens this page" in page


def test_an_address_too_long_for_a_code_has_none_rather_than_one_of_its_beginning(fitter: Client) -> None:
    page, _ = page_at(fitter, LONGEST_CODE + 1)
    assert code_of(page) is None
    assert "Opens this page" not in page
