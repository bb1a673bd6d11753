"""A supplier is written to in its language where the shop has words of its own in it; nothing is translated."""

import re

import pytest

from shop.orders.models import LetterTexts
from tests.factories.orders import make_line, make_order, make_supplier
from tests.pages import collapsed, press, words_of
from tests.queries import queries_of

pytestmark = pytest.mark.django_db
WORDS = "Quand les pièces ci-dessous seront-elles expédiées ?"


@pytest.fixture
def order(people):
    """A line on order with a supplier that is written to in French."""
    found = make_order(supplier=make_supplier(name="Tannerie", language="French", email="a@tannerie.example"))
    make_line(order=found, text="rear seal")
    return found


def texts(order):
    return f"/orders/suppliers/{order.supplier_id}/letter-texts/"


def body(page):
    text = page.content.decode()
    return text[text.index('<textarea name="body"') : text.index("</textarea>")]


def test_without_words_of_its_own_the_draft_is_english_and_says_so(buyer, order):
    at = f"/orders/{order.pk}/letter/"
    page = buyer.get(at)
    said = words_of(page)
    assert "Tannerie is written to in French. No text of yours in French is kept for this letter" in said
    assert "nothing is translated for you" in said
    assert "Dear Sir or Madam," in body(page)
    assert texts(order) in collapsed(page)


def test_own_words_stand_above_the_english_draft_of_their_kind_alone(buyer, order):
    press(buyer, texts(order), chase=WORDS)
    page = buyer.get(f"/orders/{order.pk}/letter/")
    assert "Your own text in it stands above the English draft." in words_of(page)
    assert body(page).index("Quand les pièces") < body(page).index("Dear Sir or Madam,") < body(page).index("rear seal")
    other = buyer.get(f"/orders/{order.pk}/letter/?about=order")
    assert "No text of yours in French is kept for this letter" in words_of(other)
    assert "Quand" not in body(other)


def test_days_need_no_language_where_the_supplier_reads_another(buyer, order):
    in_words = r"\b\d{1,2} [A-Z][a-z]+ \d{4}\b"
    for at in (f"/orders/{order.pk}/letter/", f"/orders/suppliers/{order.supplier_id}/letter/"):
        draft = body(buyer.get(at))
        assert not re.search(in_words, draft)
        assert re.search(r"\b\d{4}-\d\d-\d\d\b", draft)
    home = make_order(supplier=make_supplier(name="Seals", language="English"))
    make_line(order=home, text="front seal")
    assert re.search(in_words, body(buyer.get(f"/orders/{home.pk}/letter/")))


def test_the_letter_about_all_has_words_of_its_own(buyer, order):
    press(buyer, texts(order), all_open="Voici tout ce que nous attendons.")
    page = buyer.get(f"/orders/suppliers/{order.supplier_id}/letter/")
    assert "Voici tout ce que nous attendons." in body(page)
    assert "Your own text in it" in words_of(page)


def test_all_suppliers_of_a_language_share_its_words_in_whatever_case(buyer, order):
    press(buyer, texts(order), chase=WORDS)
    again = make_order(supplier=make_supplier(name="Engrenages", language=" FRENCH "))
    make_line(order=again, text="gear")
    assert WORDS in body(buyer.get(f"/orders/{again.pk}/letter/"))
    press(buyer, texts(again), chase="Bonjour", order="Nous commandons :")
    assert LetterTexts.objects.get().chase == "Bonjour"
    assert [one.chase for one in LetterTexts.history.order_by("pk")] == [WORDS, "Bonjour"], "what was kept is known"


def test_of_two_who_change_them_the_second_is_shown_both_and_loses_nothing(buyer, owner, order):
    press(buyer, texts(order), chase=WORDS)
    version = LetterTexts.objects.get().version
    press(owner, texts(order), chase="Bonjour")
    page = collapsed(buyer.post(texts(order), {"chase": "Madame, Monsieur", "version": version}))
    assert "Bonjour" in page
    assert "Madame, Monsieur" in page
    assert LetterTexts.objects.get().chase == "Bonjour"


def test_who_is_written_to_in_english_sees_nothing_of_it(buyer, order):
    order.supplier.language = "English"
    order.supplier.save()
    assert "is written to in" not in words_of(buyer.get(f"/orders/{order.pk}/letter/"))
    assert "is written to in English" in words_of(buyer.get(texts(order), follow=True))


def test_a_draft_asks_one_query_for_them(buyer, order):
    many = len(queries_of(buyer, f"/orders/{order.pk}/letter/"))
    order.supplier.language = ""
    order.supplier.save()
    assert many - len(queries_of(buyer, f"/orders/{order.pk}/letter/")) <= 2
