"""The lines of a worksheet as its reader reads them."""

import pytest

from shop.worksheets.lines import OutputLine
from specs import phrase as phrases
from specs.phrase import phrase


@pytest.mark.parametrize(
    ("band", "said"),
    [(phrase("{low} to {high}", low="1.2 s", high="3.9 s"), "1.2 s … 3.9 s"), ("± 0.2 N·m", "0.2 N·m"), ("", "")],
)
def test_a_band_under_its_sign_is_said_in_the_reader_s_language(
    monkeypatch: pytest.MonkeyPatch, band: str, said: str
) -> None:
    monkeypatch.setattr(phrases, "_translation", {"{low} to {high}": "{low} … {high}"}.__getitem__)
    assert OutputLine("time", "t", "2 s", band, "", False, "", True).plain_band == said
