"""A letter on paper: what stands where, that it says what was sent, and that later edits do not reach it."""

from datetime import date

import pytest
from reportlab.lib.units import mm

from tests.factories.orders import make_chase, make_order, make_supplier
from tests.pdfs import reader, sizes_of, text_of

pytestmark = pytest.mark.django_db

BODY = (
    "Dear Odile,\n\nWe ordered the parts below.\n\nPart | To come | Last promised\nflywheel | 1 | 16 November 2026\n\n"
    "Please tell us by Friday when it comes.\n\nKind regards,\n\nWren Calloway"
)


@pytest.fixture
def chase(settings):
    settings.SHOP_NAME, settings.SHOP_POSTAL_ADDRESS = "Driveline workshop", ["4 Mill Yard", "Linnet Bridge"]
    supplier = make_supplier(name="Nuvo", contact="Odile", address="22 Quay Road\nPort Linnet", account="DW-4471")
    order = make_order(supplier=supplier, reference="FE-77")
    return make_chase(order=order, on=date(2026, 11, 25), text=f"When will it come?\n\n{BODY}")


def printed(client, chase, paper="A4"):
    response = client.get(f"/print/letter/{chase.pk}/?paper={paper}")
    assert response["Content-Type"] == "application/pdf"
    return response.content


def test_it_says_who_writes_to_whom_under_which_numbers_and_on_which_day(buyer, chase):
    said = text_of(printed(buyer, chase))
    for words in (
        "4 Mill Yard",
        "Nuvo",
        "22 Quay Road",
        "Port Linnet",
        chase.order.number,
        "FE-77",
        "DW-4471",
        "25 November 2026",
        "When will it come?",
        "Please tell us by Friday when it comes.",
        "Kind regards,",
        "Wren Calloway",
    ):
        assert words in said


def test_read_aloud_it_goes_from_the_recipient_to_the_foot(buyer, chase, settings):
    settings.SHOP_LETTER_FOOT = "Registered in Linnet Bridge"
    said = text_of(printed(buyer, chase))
    order = (
        "Nuvo",
        "22 Quay Road",
        "DW-4471",
        "When will it come?",
        "Dear Odile",
        "Part",
        "Kind regards",
        "Registered",
    )
    places = [said.index(words) for words in order]
    assert places == sorted(places)


def test_its_file_bears_the_moment_at_which_it_was_kept(buyer, chase):
    kept = chase.recorded_at.replace(microsecond=0)
    assert reader(printed(buyer, chase)).metadata.creation_date == kept


def test_lines_print_as_a_table_without_their_strokes(buyer, chase):
    said = text_of(printed(buyer, chase))
    assert "flywheel" in said
    assert "16 November 2026" in said
    assert "|" not in said


@pytest.mark.parametrize(("paper", "size"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_the_recipient_stands_in_the_window_of_a_folded_letter(buyer, chase, paper, size):
    # DIN 5008:2020 form B: the address field is 20 to 105 mm from the left and 45 to 90 mm from the top (from memory).
    pdf = printed(buyer, chase, paper)
    assert sizes_of(pdf) == [size]
    places = {}
    page = reader(pdf).pages[0]
    page.extract_text(visitor_text=lambda text, cm, tm, *_: places.setdefault(text.strip(), (tm[4], tm[5])))
    for words in ("Nuvo", "22 Quay Road", "Port Linnet"):
        x, y = places[words]
        assert 20 * mm <= x <= 105 * mm
        assert 45 * mm <= float(page.mediabox.height) - y <= 90 * mm


def test_a_long_letter_goes_on_with_its_page_and_its_heads_repeated(buyer, chase):
    rows = "\n".join(f"part {at} | {at} | no date yet" for at in range(80))
    long = make_chase(order=chase.order, text=f"Long\n\nPart | To come | Last promised\n{rows}\n\nKind regards,\n\nW.")
    pages = [page.extract_text() for page in reader(printed(buyer, long)).pages]
    assert len(pages) > 2
    assert all("Last promised" in page for page in pages[:-1])
    assert "Page 2" in pages[1]


def test_it_goes_to_the_address_that_the_supplier_had_when_it_was_written(buyer, chase):
    supplier = chase.order.supplier
    supplier.address = "1 New Street"
    supplier.save()
    said = text_of(printed(buyer, chase))
    assert "22 Quay Road" in said
    assert "1 New Street" not in said


def test_hostile_and_foreign_words_are_printed_as_they_are(buyer, chase):
    nasty = make_chase(order=chase.order, text='<b>\n\n<img src="file:///etc/passwd"/> | 变速箱\n\nСнять')
    said = text_of(printed(buyer, nasty))
    for words in ('<img src="file:///etc/passwd"/>', "变速箱", "Снять"):
        assert words in said


def test_the_file_says_its_subject_and_who_wrote_it(buyer, chase):
    told = reader(printed(buyer, chase)).metadata
    assert (told.title, told.author) == ("When will it come?", "Driveline workshop")


def test_a_chase_by_telephone_has_no_letter(buyer, chase):
    silent = make_chase(order=chase.order, text="")
    assert buyer.get(f"/print/letter/{silent.pk}/").status_code == 404
