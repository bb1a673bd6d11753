"""A page that the browser has is sent again as soon as anything about it, or its reader, is another."""

import re
from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session
from django.test import Client
from django.utils import timezone

from shop.base import same_page, state_mark, unchanged
from shop.people.models import preferences_of
from shop.vehicles.models import Customer
from specs.models import Component
from tests.factories.measuring import make_component
from tests.factories.people import make_person
from tests.pages import press
from tests.queries import queries_of

pytestmark = pytest.mark.django_db(transaction=True)

LIST = "/measuring/components/"


@pytest.fixture
def person():
    return make_person(username="owner", roles=["owner", "fitter"])


@pytest.fixture
def browser(person, monkeypatch):
    """A browser, in a minute that lasts."""
    noon = timezone.now().replace(second=5)
    monkeypatch.setattr(timezone, "now", lambda: noon)
    client = Client()
    client.force_login(person)
    return client


def tag_of(client: Client, address: str = LIST) -> str:
    client.get(address)  # the cookie of form tokens comes with the first page
    return client.get(address).get("ETag", "")


def again(client: Client, tag: str, address: str = LIST):
    return client.get(address, headers={"If-None-Match": tag})


def test_an_unchanged_page_is_not_made_again(browser, django_assert_max_num_queries):
    make_component(name="first")
    tag = tag_of(browser)
    with django_assert_max_num_queries(1):  # PostgreSQL is asked whether anybody wrote
        answer = again(browser, tag)
    assert (answer.status_code, answer["Cache-Control"], answer.content) == (304, "private, no-cache", b"")
    assert "list-measuring-components" in answer.cookies  # and still leads back to where its reader was


@pytest.mark.parametrize("address", ["/orders/", "/jobs/", "/search/?q=first", LIST])
def test_a_page_asks_for_the_state_when_it_begins_and_once_more_when_it_is_kept(browser, monkeypatch, address):
    make_component(name="first")
    asked, mark = [], state_mark.mark
    for module in (state_mark, unchanged):
        monkeypatch.setattr(module, "mark", lambda: asked.append(1) or mark())
    for _ in range(3):
        asked.clear()
        assert browser.get(address, headers={"Cache-Control": "no-cache"}).status_code == 200
    assert len(asked) == 2


def test_a_page_is_sent_as_it_was_until_something_moved_that_it_shows(browser, django_assert_max_num_queries):
    first = make_component(name="first")
    address = first.get_absolute_url()
    tag = tag_of(browser, address)
    Customer.objects.create(name="Nobody")
    kept = browser.get(address)
    made = browser.get(address, headers={"Cache-Control": "no-cache"})
    assert kept["ETag"] == made["ETag"] == tag
    assert (kept.headers, kept.templates) == (made.headers, [])
    tokens = [re.findall(rb'name="csrfmiddlewaretoken" value="([^"]*)"', page.content) for page in (kept, made)]
    assert tokens[0]
    assert not set(tokens[0]) & set(tokens[1]), "each answer has its form tokens masked anew"
    with django_assert_max_num_queries(1):
        assert browser.get(address).content
    strict = Client(enforce_csrf_checks=True)
    strict.cookies = browser.cookies
    sent = [strict.post(f"{address}edit/", {"csrfmiddlewaretoken": token}) for token in (tokens[0][0].decode(), "")]
    assert [one.status_code for one in sent] == [200, 403]
    type(first).objects.filter(pk=first.pk).update(name="renamed")
    assert b"renamed" in browser.get(address).content


def test_a_sign_in_has_no_page_made_anew_but_those_that_tell_of_it(browser):
    colleague = make_person(username="colleague", password="plate-and-flywheel")
    tells = ("/people/", f"/people/{colleague.pk}/")
    before = {address: tag_of(browser, address) for address in (LIST, *tells)}
    Client().post("/people/sign-in/", {"username": "colleague", "password": "plate-and-flywheel"})
    colleague.refresh_from_db()
    assert colleague.last_login
    assert all(before.values())
    codes = [again(browser, tag, address).status_code for address, tag in before.items()]
    assert codes == [304, 200, 200]


def test_a_reader_who_signed_out_elsewhere_is_shown_nothing_that_was_kept(browser, person):
    tag = tag_of(browser)
    Session.objects.all().delete()
    assert (again(browser, tag).status_code, browser.get(LIST).status_code) == (302, 302)


def test_the_first_page_of_a_browser_brings_the_cookie_of_its_tokens_each_time(browser):
    address = make_component(name="first").get_absolute_url()
    browser.cookies.pop("csrftoken", None)
    first = browser.get(address)
    del browser.cookies["csrftoken"]
    assert ("ETag" in first, "csrftoken" in first.cookies, "csrftoken" in browser.get(address).cookies) == (
        False,
        True,
        True,
    )


def rename_the_reader(person):
    type(person).objects.filter(pk=person.pk).update(last_name="Another")


def take_a_role(person):
    person.groups.clear()


def choose_a_theme(person):
    chosen = preferences_of(person)
    chosen.theme = "dark"
    chosen.save()


@pytest.mark.parametrize(
    "change", [rename_the_reader, take_a_role, choose_a_theme, lambda person: make_component(name="second")]
)
def test_any_change_that_it_shows_is_shown(browser, person, change):
    tag = tag_of(browser)
    change(person)
    answer = again(browser, tag)
    assert answer.status_code == 200
    assert answer["ETag"] != tag


def test_in_another_minute_it_is_made_again_and_sent_only_where_it_is_another(browser, monkeypatch):
    tag = tag_of(browser)
    later = timezone.now() + timedelta(minutes=1)
    monkeypatch.setattr(timezone, "now", lambda: later)
    assert queries_of(browser, LIST) != []
    assert again(browser, tag).status_code == 304  # though its form tokens were masked anew


def test_nobody_is_told_that_he_has_what_another_was_shown(browser):
    other = Client()
    other.force_login(make_person(username="fitter", roles=["fitter"]))
    tag = tag_of(browser)
    assert again(other, tag).status_code == 200
    browser.logout()
    assert again(browser, tag).status_code == 302


ONCE = re.compile(rb'(name="once" value=")([^"]*)"')
NEW = "/measuring/components/new/"


def test_a_form_that_writes_once_is_sent_again_with_another_token(browser, django_assert_max_num_queries):
    assert tag_of(browser, NEW) == ""  # no browser is told that it has the page with its last token
    with django_assert_max_num_queries(1):
        pages = [again(browser, "None", NEW) for _ in range(3)]
    pages.append(browser.get(NEW, headers={"Cache-Control": "no-cache"}))
    assert {page.status_code for page in pages} == {200}
    assert len({ONCE.search(page.content)[2] for page in pages}) == len(pages)
    assert {len(ONCE.findall(page.content)) for page in pages} == {1}
    masked = re.compile(rb'name="csrfmiddlewaretoken" value="[^"]*"')
    assert len({ONCE.sub(rb"\1", masked.sub(b"", page.content)) for page in pages}) == 1


def test_two_forms_that_were_sent_again_write_two_records_and_each_of_them_one(browser):
    told = {"kind": "gearbox", "maker": "Teskel", "notes": "", "units": "metric"}
    browser.get(NEW)
    tokens = [ONCE.search(browser.get(NEW).content)[2].decode() for _ in range(2)]
    for at, token in enumerate(tokens):
        pressed = [browser.post(NEW, told | {"name": f"T{at}", "once": token})["Location"] for _ in range(2)]
        assert pressed[0] == pressed[1]
    assert [one.name for one in Component.objects.order_by("name")] == ["T0", "T1"]


def test_words_that_are_said_once_are_said_once(browser):
    component = make_component(name="first")
    address = component.get_absolute_url()
    tag = tag_of(browser, address)
    press(browser, f"{address}delete/", reason="twice on record")
    said = again(browser, tag, LIST)
    assert said.status_code == 200
    assert "ETag" not in said or b"messages" not in said.content


def test_a_page_that_leads_back_to_a_list_leads_to_the_list_as_it_was_left(browser):
    component = make_component(name="first")
    browser.get(LIST)
    tag = tag_of(browser, component.get_absolute_url())
    browser.get(f"{LIST}?sort=-name")
    assert b"sort=-name" in again(browser, tag, component.get_absolute_url()).content


def test_in_a_write_that_is_not_over_nothing_is_remembered(browser, monkeypatch):
    monkeypatch.setattr(same_page.state_mark, "mark", lambda: None)
    tag = tag_of(browser)
    Customer.objects.create(name="Nobody")
    assert queries_of(browser, LIST) != []
    assert tag
