"""Every letter and mail can be said in another language, as pages can (`tests.test_language`)."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.base.models import ShopDetails
from shop.orders.letter_drafts import LETTER_KINDS, draft_about_all, draft_letter
from shop.orders.models import OrderLine
from shop.planning.inputs import read_shop
from shop.print.customer_draft import MOST_STEPS, draft_customer_letter
from shop.print.letter_facts import read_customer_letter, read_letter
from shop.print.letter_sheet import draw_letter
from tests.factories.jobs import make_job, make_part_need, make_step
from tests.factories.orders import make_chase, make_order, make_promise, make_supplier, make_undone
from tests.factories.people import make_person
from tests.factories.print import make_customer_letter
from tests.factories.vehicles import make_customer, make_vehicle
from tests.pdfs import reader
from tests.pseudo import in_pseudo, untranslated
from tests.test_language import KNOWN, USERNAMES

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate()


@pytest.fixture(autouse=True)
def shop_with_a_name():
    ShopDetails.objects.create(name="Οπκ", postal_address="Λινν 4")


@pytest.fixture
def wren():
    return make_person(roles=["buyer", "owner"], first_name="Ρεν", last_name="Καλ")


@pytest.fixture
def order(wren):
    """A line put off twice and late, one cancelled, one that went back for another, one that came in part."""
    supplier = make_supplier(name="Νυβο", contact="Οδιλ", account="77120")
    order = make_order(supplier=supplier, reference="55102", ordered_on=TODAY - timedelta(days=40))
    make_undone(order, ("α", "β", "γ", "δ"), person=wren, reason="λογος", to_be_replaced=True, both=True)
    for days in (20, 12, 4):
        make_promise(line=order.lines.get(text="α"), latest=TODAY - timedelta(days=days))
    return order


def english(*texts: str) -> set[str]:
    return set(untranslated((("", line) for text in texts for line in text.splitlines()), KNOWN)) - USERNAMES


def printed(pdf: bytes) -> str:
    return "\n".join(page.extract_text() for page in reader(pdf).pages)


@pytest.mark.parametrize("kind", LETTER_KINDS, ids=[kind.about or "chase" for kind in LETTER_KINDS])
def test_a_letter_to_a_supplier_says_no_word_that_cannot_be_translated(kind, order, wren) -> None:
    with in_pseudo():
        letter = draft_letter(order, kind.about, wren, TODAY)
        chase = make_chase(order=order, person=wren, text=f"{letter.subject}\n\n{letter.body}", how="letter")
        assert english(letter.subject, letter.body, printed(draw_letter(read_letter(chase), "A4"))) == set()


def test_a_letter_about_all_that_is_open_says_no_word_that_cannot_be_translated(order, wren) -> None:
    with in_pseudo():
        lines = list(OrderLine.objects.to_come().filter(order=order).with_story())
        letter = draft_about_all(order.supplier, lines, wren, TODAY)
    assert english(letter.subject, letter.body) == set()


@pytest.fixture
def job(order):
    """A job whose part is late and that was wanted before it comes, with a step done."""
    customer = make_customer(name="Οττο", address="Φεν 3")
    vehicle = make_vehicle(customer=customer, maker="Καστ", model="Ωττο", registration="")
    job = make_job(vehicle=vehicle, title="Νεω", wanted_by=TODAY + timedelta(days=1))
    need = make_part_need(step=make_step(job=job, title="Φιτ"), text="α")
    OrderLine.objects.filter(order=order, text="α").update(part_need=need)
    return job


def test_a_letter_that_tells_a_customer_of_a_delay_says_no_word_that_cannot_be_translated(job, wren) -> None:
    with in_pseudo():
        assert english(*written(job, "delay", wren)) == set()
        make_step(job=job, title="Φιτ")
        with pytest.raises(ValidationError) as refused:
            draft_customer_letter(job, "ready", wren, TODAY, read_shop)
    assert english(*refused.value.messages) == set()


def test_a_letter_that_tells_a_customer_to_fetch_it_says_no_word_that_cannot_be_translated(wren) -> None:
    job = make_job(
        vehicle=make_vehicle(customer=make_customer(name="Οττο"), maker="Καστ", model="Ωττο", registration=""),
        title="Νεω",
    )
    for _ in range(MOST_STEPS + 2):
        make_step(job=job, title="Φιτ", finished_at=timezone.now(), finished_by=wren)
    with in_pseudo():
        assert english(*written(job, "ready", wren)) == set()


def written(job, about, person):
    """What a letter says as mail, and as it is printed."""
    letter = draft_customer_letter(job, about, person, TODAY, read_shop)
    sent = make_customer_letter(job, subject=letter.subject, body=letter.body, person=person)
    return letter.subject, letter.body, printed(draw_letter(read_customer_letter(sent), "A4"))
