"""Papers kept with an order: what may be kept, where it lies, and how it is given back."""

from io import BytesIO
from zipfile import ZipFile

import pytest
from django.conf import settings
from django.core.exceptions import PermissionDenied
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from shop.base.file_kinds import JPEG as JPEG_KIND
from shop.base.file_kinds import MOST_BYTES, kind_of, shown_name, why_not_kept
from shop.base.pictures import drawn_anew
from shop.orders import changes
from shop.orders.models import Document
from tests.factories.orders import PDF, make_document, make_order
from tests.pages import collapsed
from tests.shop.orders.forms import fault, sent

pytestmark = pytest.mark.django_db

# The signatures of ISO 32000-1 7.5.2, ISO/IEC 15948 5.2 and ISO/IEC 10918-1 B.1.1.3.
PNG, JPEG = b"\x89PNG\r\n\x1a\n" + b"\x00" * 20, b"\xff\xd8\xff\xe0\x00\x10JFIF\x00"


def package(*parts):
    """A package of office parts (ISO/IEC 29500-2)."""
    out = BytesIO()
    with ZipFile(out, "w") as packed:
        for part in ("[Content_Types].xml", *parts):
            packed.writestr(part, "<x/>")
    return out.getvalue()


def attach(client, order, name="invoice.pdf", content=PDF, note=""):
    file = SimpleUploadedFile(name, content, content_type="application/octet-stream")
    return client.post(f"/orders/{order.pk}/document/", sent(file=file, paper="invoice", note=note))


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (PDF, "PDF"),
        (PNG, "PNG picture"),
        (JPEG, "JPEG picture"),
        ("Grüße,\r\n2 × clutch\t90.00\n".encode(), "plain text"),
        (b"\xef\xbb\xbfa;b\r\n1;2\r\n", "plain text"),
        (b"From: a@b.example\r\nDate: Mon, 2 Mar 2026 10:00:00 +0100\r\n\r\nWe confirm.\r\n", "mail"),
        (package("word/document.xml"), "text document"),
        (package("xl/workbook.xml"), "workbook"),
        (package("xl/workbook.xml", "xl/vbaProject.bin"), None),
        (b"GIF89a\x01\x00", None),
        (b"PK\x03\x04\x14\x00", None),
        (b"MZ\x90\x00\x03", None),
        ("Grüße".encode("latin-1"), None),
        (b"\x1b[2J", None),
    ],
)
def test_a_kind_is_told_by_what_is_inside(content, words):
    kind = kind_of(content)
    assert (kind and kind.words) == words


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("a.pdf", b"", "empty"),
        ("a.exe", b"MZ\x90\x00\x03", "none of the kinds"),
        ("a.pdf", PNG, "holds a PNG picture, but its name ends in “.pdf”: give it the ending .png."),
        ("a.html", b"<script>alert(1)</script>", "holds plain text, but its name ends in “.html”"),
        ("a", PDF, "has no ending"),
        ("a.pdf", PDF + b" " * MOST_BYTES, "10.0 MB; at most 10 MB"),
    ],
)
def test_what_cannot_be_kept_says_why(buyer, name, content, words):
    assert words in why_not_kept(name, content)
    response = attach(buyer, make_order(), name, content)
    assert words in fault(collapsed(response), "file")
    assert not Document.objects.exists()
    assert not list(settings.MEDIA_ROOT.rglob("*.*"))


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("../../etc/passwd.txt", "passwd.txt"),
        (r"C:\papers\in voice.pdf", "in voice.pdf"),
        ("in\u202efdp.txt", "infdp.txt"),
        ("a\r\nSet-Cookie: x.pdf", "aSet-Cookie: x.pdf"),
        ("", "document"),
        ("x" * 300 + ".jpeg", "x" * 95 + ".jpeg"),
    ],
)
def test_a_name_is_shown_without_folders_and_without_signs_that_hide_others(typed, shown):
    assert shown_name(typed) == shown


def test_a_document_is_kept_under_a_name_nobody_chose_and_stands_on_the_order(buyer, people):
    order = make_order()
    response = attach(buyer, order, "../Rechnung <b>7.pdf", note="net 30 days")
    assert response.url == order.get_absolute_url()
    kept = Document.objects.get()
    assert (kept.attached_by, kept.size, kept.content_type) == (people["buyer"], len(PDF), "application/pdf")
    place = settings.MEDIA_ROOT / kept.file.name
    assert place.read_bytes() == PDF
    assert place.parent == settings.MEDIA_ROOT / "orders"
    assert "Rechnung" not in place.name
    page = collapsed(buyer.get(order.get_absolute_url()))
    assert "Rechnung &lt;b&gt;7.pdf" in page
    assert Document.history.get().history_user == people["buyer"]


def test_it_is_given_back_as_it_was_to_be_saved_and_never_shown_in_the_site(buyer):
    kept = make_document(order=make_order(), name="Rechnung Übersicht.pdf")
    response = buyer.get(f"/orders/document/{kept.pk}/")
    assert response.content == PDF
    assert response["Content-Disposition"].startswith("attachment;")
    assert "Rechnung%20%C3%9Cbersicht.pdf" in response["Content-Disposition"]
    assert response["X-Content-Type-Options"] == "nosniff"
    assert "default-src 'none'" in response["Content-Security-Policy"]
    assert "private" in response["Cache-Control"]


def test_a_paper_with_prices_is_opened_by_owner_and_buyer_and_a_delivery_note_by_all(fitter, buyer):
    order = make_order()
    papers = [
        make_document(order=order, paper=paper, content=PDF + paper.encode()) for paper in ("invoice", "delivery note")
    ]
    opened = [[client.get(paper.get_absolute_url()).status_code for paper in papers] for client in (fitter, buyer)]
    assert opened == [[403, 200], [200, 200]]


def test_a_stranger_is_sent_to_sign_in_and_no_address_leads_past_the_page(client):
    kept = make_document(order=make_order())
    assert "/people/sign-in" in client.get(f"/orders/document/{kept.pk}/").url
    for address in (f"/{kept.file.name}", f"/files/{kept.file.name}", f"/media/{kept.file.name}"):
        assert client.get(address).status_code in (302, 404)


def test_the_same_file_is_kept_once_and_a_double_press_lands_on_the_first(buyer):
    order = make_order()
    form = sent(paper="invoice", note="")
    for _ in range(2):
        file = SimpleUploadedFile("invoice.pdf", PDF)
        assert buyer.post(f"/orders/{order.pk}/document/", {**form, "file": file}).status_code == 302
    assert Document.objects.count() == 1
    again = attach(buyer, order)
    assert "This very file is attached to the order already." in collapsed(again)
    assert len(list(settings.MEDIA_ROOT.rglob("*.pdf"))) == 1


def test_another_file_sent_with_a_used_mark_is_not_lost_unseen(buyer):
    order = make_order()
    form = sent(paper="invoice", note="")
    buyer.post(f"/orders/{order.pk}/document/", {**form, "file": SimpleUploadedFile("a.pdf", PDF)})
    other = SimpleUploadedFile("a.pdf", PDF + b"another\n")
    response = buyer.post(f"/orders/{order.pk}/document/", {**form, "file": other})
    assert "sent before with other words" in collapsed(response)


def test_it_is_deleted_with_a_reason_and_stays_readable(buyer, people):
    kept = make_document(order=make_order())
    page = buyer.post(f"/orders/document/{kept.pk}/delete/", sent(reason=""))
    assert fault(collapsed(page), "reason")
    buyer.post(f"/orders/document/{kept.pk}/delete/", sent(reason="belongs to another order"))
    kept.refresh_from_db()
    assert kept.is_deleted
    assert "Deleted: belongs to another order" in collapsed(buyer.get(kept.order.get_absolute_url()))
    assert buyer.get(f"/orders/document/{kept.pk}/").status_code == 200
    assert kept.history.first().history_user == people["buyer"]


def test_a_file_that_is_gone_from_the_disk_is_told_and_not_a_traceback(buyer):
    kept = make_document(order=make_order())
    (settings.MEDIA_ROOT / kept.file.name).unlink()
    assert buyer.get(f"/orders/document/{kept.pk}/").status_code == 404


def test_nobody_without_the_right_attaches(people):
    people["buyer"].groups.clear()
    stranger = type(people["buyer"]).objects.get(pk=people["buyer"].pk)
    with pytest.raises(PermissionDenied):
        changes.attach_document(order=make_order(), paper="invoice", name="a.pdf", content=PDF, person=stranger)


def test_a_picture_is_drawn_anew_without_what_stood_beside_it(buyer):
    beside = Image.Exif()
    beside[0x010E], beside[0x0112] = "taken at the Tarn", 6  # Exif 2.32: description; turned a quarter
    out = BytesIO()
    Image.new("RGB", (4, 2), "red").save(out, "JPEG", exif=beside)
    kept = drawn_anew(out.getvalue() + b"<script>", JPEG_KIND)
    with Image.open(BytesIO(kept)) as picture:
        assert (picture.size, dict(picture.getexif())) == ((2, 4), {})
    assert b"Tarn" not in kept
    assert b"<script>" not in kept
    page = attach(buyer, make_order(), "x.jpg", JPEG)
    assert "This picture cannot be read" in fault(collapsed(page), "file")
    assert not Document.objects.exists()
