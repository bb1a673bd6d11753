"""A row says what it was given, escaped once, in the reader's language, and offers its act as a link or a button."""

from html.parser import HTMLParser

import pytest
from django.template import Context, Template
from django.utils.html import format_html
from django.utils.translation import override

from shop.base.rows import MARKS, Row
from specs.phrase import phrase
from specs.written import WrittenForm, written_as
from tests.pseudo import CODE, in_pseudo, pseudo

HOSTILE = '<b>"O\'Hara" & 2 mm</b>'


def shown(*rows: Row, keep_acts: bool = False) -> str:
    template = Template("{% rows given keep_acts=keep %}")
    return template.render(Context({"given": rows, "keep": keep_acts, "csrf_token": "of-this-page"}))


class Read(HTMLParser):
    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: dict[str, str | None] = {}
        self.words = ""
        self.feed(html)

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        self.attributes |= {f"{tag}.{name}": value for name, value in attributes}

    def handle_data(self, data):
        self.words += data


def test_no_rows_are_no_list() -> None:
    assert shown().strip() == Template("{% rows nothing %}").render(Context({"nothing": None})).strip() == ""


def test_every_word_of_a_row_is_shown_as_it_was_given() -> None:
    told = {name: f"{name} {HOSTILE}" for name in ("name", "note", "figure", "under", "act", "said")}
    read = Read(shown(Row("late", **told, address='/a?"b"&c', to='/d?"e"&f')))
    assert read.tags == ["ul", "li", *["span"] * 2, "div", "a", "span", "div", "small", "div", "a", "span"]
    assert all(words.replace("2 mm", "2\u00a0mm") in read.words.replace("2 mm", "2\u00a0mm") for words in told.values())
    assert "2\u00a0mm" in read.words, "a figure keeps its unit"
    assert read.attributes["a.href"] == '/d?"e"&f'


def test_a_row_without_a_state_an_address_or_an_act_says_none() -> None:
    html = shown(Row("", "Pilot bearing"))
    assert ('class="no-mark"' in html, "<a" in html, "<form" in html, "<small" in html) == (True, False, False, False)
    assert Read(shown(Row("", "x", act="Chase"))).words.strip() == "x", "an act that leads nowhere is none"


@pytest.mark.parametrize("mark", MARKS)
def test_a_mark_has_its_word_for_those_who_do_not_see_it(mark: str) -> None:
    assert Read(shown(Row(mark, "x"))).words.split()[0] == f"{MARKS[mark]}:"
    assert Read(shown(Row(mark, "x", said="In doubt"))).words.startswith("\nIn doubt:")


def test_an_act_that_writes_is_a_form_with_the_token_of_its_page() -> None:
    read = Read(shown(Row("ready", "R-7", act="Undo", post="/undo/7/"), keep_acts=True))
    assert read.attributes["form.action"] == "/undo/7/"
    assert (read.attributes["form.method"], read.attributes["input.value"]) == ("post", "of-this-page")
    assert read.attributes["ul.class"] == "list keep-acts"
    assert "Undo R-7" in read.words


def test_what_is_late_is_red_and_a_phone_shows_the_first_act() -> None:
    html = shown(Row("late", "x", figure="3 days", red=True, first=True))
    assert 'class="figure red"' in html
    assert 'class="act first"' in html


def test_words_that_are_markup_already_stay_so() -> None:
    assert "<i>&lt;x&gt;</i>" in shown(Row("", format_html("<i>{}</i>", "<x>")))


def test_a_row_is_said_in_the_language_and_figures_of_its_reader() -> None:
    row = Row("done", phrase("{gap} left", gap="2"), figure=1.5)  # type: ignore[arg-type]
    with in_pseudo(), override(CODE), written_as(WrittenForm(",")):
        words = Read(shown(row)).words
    assert pseudo("{gap} left").format(gap="2") in words
    assert "2 left" in Read(shown(row)).words
