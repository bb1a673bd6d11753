"""Reading a message: the standards' own shapes, other alphabets, and what is no message at all."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.replies.reading import Bounce, UnreadableMessage, read_message
from tests.shop.replies.messages import BOUNCE, answer


def test_the_report_of_rfc_3464_is_read():
    """RFC 3464, appendix E: one recipient, action failed, status 4.0.0, smtp; 426 connection timed out."""
    read = read_message(BOUNCE.encode())
    (found,) = read.bounces
    assert found == Bounce("louisl@larry.slip.umd.edu", "failed", "4.0.0", "426 connection timed out")
    assert not found.is_final, "a status of class 4 may still change (RFC 3463, 3.1)"
    assert read.answers[0] == "<letter@cs.utk.edu>"


def test_a_delay_is_not_the_end_of_a_letter():
    assert not Bounce("a@b.example", "delayed", "", "").is_final
    assert Bounce("a@b.example", "failed", "5.1.1", "").is_final


def test_encoded_words_and_other_alphabets_are_read():
    """RFC 2047, 2: =?charset?encoding?text?=."""
    head = b"From: =?UTF-8?Q?J=C3=B3zef?= <j@x.example>\r\nSubject: =?ISO-8859-1?Q?Kupplung_gr=FCn?=\r\n"
    body = b"Content-Type: text/plain; charset=iso-8859-1\r\n\r\nn\xe4chste Woche\r\n"
    read = read_message(head + body)
    assert (read.sender, read.subject, read.text) == ("Józef <j@x.example>", "Kupplung grün", "nächste Woche")


def test_a_page_in_place_of_text_is_read_without_its_tags_and_scripts():
    page = answer("<p>On <b>Monday</b></p><script>alert(1)</script>").replace(b"text/plain", b"text/html")
    assert read_message(page).text == "On Monday"


def test_whom_it_answers_is_told_the_nearest_first():
    more = "References: <1@x>  <2@x>\r\nIn-Reply-To: <2@x>\r\n"
    assert read_message(answer(more=more)).answers == ("<2@x>", "<1@x>")


@pytest.mark.parametrize("content", [b"", b"%PDF-1.4\n%%EOF", b"\x00\x01\x02" * 50, b"just a line of text"])
def test_what_is_no_message_is_refused(content):
    with pytest.raises(UnreadableMessage):
        read_message(content)


@given(st.binary(max_size=400))
def test_no_bytes_after_a_head_make_it_fail(content):
    read_message(b"From: a@b.example\r\n" + content)
