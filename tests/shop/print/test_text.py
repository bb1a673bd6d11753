"""Words on paper: run-on lines, faces by letter, escaping."""

import pytest

from shop.print import fonts
from shop.print.fonts import (
    HAN,
    face_of,
    lines,
    markup,
    runs,
    shortened,
    tidy,
    visual,
    width,
)
from shop.print.text import unwrapped


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("one\ntwo", "one two"),
        ("one\r\ntwo", "one two"),
        ("one\n\ntwo", "one\n\ntwo"),
        ("do:\n- this\n- that", "do:\n- this\n- that"),
        ("do:\n1. this\n2) that", "do:\n1. this\n2) that"),
    ],
)
def test_line_ends_of_the_writers_window_run_on(typed, meant):
    assert unwrapped(typed) == meant


def test_each_run_has_a_face_that_holds_its_letters():
    found = list(runs("Bolt Ж 変速"))
    assert [text for _, text in found] == ["Bolt Ж ", "変速"]
    assert found[1][0] == HAN
    assert all(face_of(letter) for _, text in found for letter in text)


def test_a_letter_that_no_face_has_is_spelled_by_its_code_point():
    assert "".join(text for _, text in runs("เ")) == "[U+0E40]"


def test_markup_in_words_is_only_words():
    assert markup("<b>&</b>") == "&lt;b&gt;&amp;&lt;/b&gt;"
    assert markup("a\nb") == "a<br/>b"


def test_marks_that_print_nothing_are_left_out_and_accents_composed():
    assert tidy("a\u200bb\u202ec\x07") == "abc"
    assert tidy("e\u0301") == "é"


def test_lines_fit_their_room_and_lose_nothing():
    text = "a few words and " + "x" * 120
    broken = lines(text, 100, 10)
    assert all(width(line, 10) <= 100 for line in broken)
    assert "".join(broken).replace(" ", "") == text.replace(" ", "")


def test_what_is_shortened_says_so_and_fits():
    short = shortened("a title that is far too long for its room", 60, 10)
    assert short.endswith("…")
    assert width(short, 10) <= 60
    assert shortened("short", 60, 10) == "short"


def test_right_to_left_words_are_put_in_printed_order():
    assert visual("abc") == "abc"
    assert visual("שלום") == "םולש"
    assert visual("12 שלום") == "םולש 12"


def test_the_bold_face_is_cut_once_for_all_processes(settings, tmp_path, monkeypatch):
    settings.DATA_DIR, cuts = tmp_path, []
    cut = fonts._instance
    monkeypatch.setattr(fonts, "_instance", lambda variable: (cuts.append(variable), cut(variable))[1])
    made = [fonts._bold(fonts.body_file()) for _ in range(2)]
    assert len(cuts) == 1
    assert made[0].face.charToGlyph == made[1].face.charToGlyph
    next((tmp_path / "faces").iterdir()).write_bytes(b"half a face")
    assert fonts._bold(fonts.body_file()).face.charToGlyph == made[0].face.charToGlyph
