"""Paragraphs: lines fit, no word is lost, and what belongs together stays so."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.print.fonts import width
from shop.print.paragraph import _printed, said
from shop.print.styles import style

WORDS = st.lists(st.text("abcXYZ-,.éЖλ変速機ー。", min_size=1, max_size=30), max_size=25)


def lines_of(text, room, name="cell", lead=""):
    """The lines that a paragraph breaks into, as text."""
    paragraph = said([(lead, True), (text, False)], style(name))
    paragraph.wrap(room, 1000)
    return ["".join(text for text, _ in _printed(line, False)) for line in paragraph._broken]


@settings(max_examples=60, deadline=None)
@given(WORDS, st.floats(30, 300))
def test_every_line_fits_and_no_letter_is_lost(words, room):
    found = lines_of(" ".join(words), room)
    assert all(width(line, style("cell").fontSize) <= room + 0.1 for line in found)
    assert "".join(found).replace(" ", "") == "".join(words).replace(" ", "")


def test_the_lead_and_bold_words_keep_their_spaces():
    assert lines_of("two words", 300, lead="Caution: ") == ["Caution: two words"]
    assert lines_of("2", 300, lead="T") == ["T2"]


@pytest.mark.parametrize(
    ("text", "room", "lines"),
    [
        ("one\n\ntwo", 300, ["one", "", "two"]),
        ("Bellhousing-to-adapter-plate", 70, ["Bellhousing-to-", "adapter-plate"]),
        ("変速機。とクラッチ", 30, ["変速", "機。と", "クラッ", "チ"]),
        ("", 300, [""]),
    ],
)
def test_where_lines_end(text, room, lines):
    assert lines_of(text, room) == lines


def test_it_is_parted_in_two_but_no_single_line_is_left_behind():
    long = said([("many words " * 40, False)], style("cell"))
    _, height = long.wrap(100, 1000)
    above, below = long.split(100, height / 2)
    assert above.wrap(100, 1000)[1] + below.wrap(100, 1000)[1] == pytest.approx(height)
    assert long.split(100, height) == long.split(100, style("cell").leading * 1.5) == []
