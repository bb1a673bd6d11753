"""Documents kept with a supplier, job, vehicle or component: kept, found, given back, deleted, brought back."""

import pytest
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.utils import timezone

from shop.attachments.models import OWNERS, Attachment
from shop.base.dependents import Resting, what_rests_on
from shop.base.kept_files import PAPERS
from tests.factories.attachments import make_attachment
from tests.factories.jobs import make_job
from tests.factories.measuring import make_component
from tests.factories.orders import PDF, make_supplier
from tests.pages import collapsed, press
from tests.queries import queries_of
from tests.shop.orders.forms import fault, sent

pytestmark = pytest.mark.django_db


@pytest.fixture
def things():
    job = make_job()
    return {"supplier": make_supplier(), "job": job, "vehicle": job.vehicle, "component": make_component()}


@pytest.mark.parametrize("owner", OWNERS)
def test_it_stands_on_the_page_of_its_thing_and_comes_back_as_it_was(buyer, people, things, owner):
    thing = things[owner]
    page = collapsed(buyer.get(thing.get_absolute_url()))
    assert f"/attachments/{owner}/{thing.pk}/" in page
    assert "No document is kept here yet." in page
    file = SimpleUploadedFile("../Tarn <b>7.pdf", PDF)
    answer = press(buyer, f"/attachments/{owner}/{thing.pk}/", file=file, paper="certificate", note="valid to May")
    assert answer.url == thing.get_absolute_url()
    kept = Attachment.objects.get()
    assert (kept.owner, kept.attached_by, kept.history.get().history_user) == (thing, *[people["buyer"]] * 2)
    assert (settings.MEDIA_ROOT / kept.file.name).read_bytes() == PDF
    assert "Certificate or approval</b>: <a href" in (page := collapsed(buyer.get(thing.get_absolute_url())))
    assert "Tarn &lt;b&gt;7.pdf" in page
    assert "valid to May" in page
    back = buyer.get(f"/attachments/{kept.pk}/")
    assert (back.content, back["Content-Type"]) == (PDF, "application/pdf")
    assert back["Content-Disposition"].startswith("attachment;")
    assert "Tarn" in collapsed(buyer.get("/search/?q=tarn"))
    again = SimpleUploadedFile("copy.pdf", PDF)
    refused = press(buyer, f"/attachments/{owner}/{thing.pk}/", file=again, paper="other")
    assert f"This very file is kept with the {owner} already." in collapsed(refused)


def test_what_is_none_of_the_kinds_is_refused_beside_the_file(buyer, things):
    file = SimpleUploadedFile("a.exe", b"MZ\x90\x00")
    page = buyer.post(f"/attachments/supplier/{things['supplier'].pk}/", sent(file=file, paper="other", note="terms"))
    assert "none of the kinds" in fault(collapsed(page), "file")
    assert 'value="terms"' in collapsed(page)
    assert not Attachment.objects.exists()


def test_prices_of_parts_and_money_of_the_shop_are_opened_by_those_who_may_see_them(
    owner, buyer, fitter, people, things
):
    papers = ("quotation", "our quotation", "drawing")
    kept = [
        make_attachment(things["job"], person=people["fitter"], paper=paper, content=PDF + paper.encode())
        for paper in papers
    ]
    opened = [[who.get(one.get_absolute_url()).status_code for one in kept] for who in (owner, buyer, fitter)]
    assert opened == [[200, 200, 200], [200, 403, 200], [403, 403, 200]]
    page = collapsed(buyer.get(f"/attachments/job/{things['job'].pk}/"))
    assert "Prices: only owner and buyer can open a document kept as quotation." in page
    assert "only owner and people the owner names can open a document kept as our quotation or our invoice." in page


def test_it_is_deleted_with_a_reason_undone_and_told_where_its_thing_goes(buyer, people, things):
    kept = make_attachment(things["vehicle"], person=people["fitter"])
    assert Resting("Documents kept with it", ("page.pdf",)) in what_rests_on(things["vehicle"])[0]
    page = press(buyer, f"/attachments/{kept.pk}/delete/", reason="")
    assert fault(collapsed(page), "reason")
    press(buyer, f"/attachments/{kept.pk}/delete/", reason="another vehicle's")
    page = collapsed(buyer.get(things["vehicle"].get_absolute_url()))
    assert "Deleted: another vehicle" in page
    assert buyer.get(kept.get_absolute_url()).status_code == 200
    assert "Documents" not in what_rests_on(things["vehicle"])
    press(buyer, f"/undo/attachments.attachment/{kept.pk}/")
    kept.refresh_from_db()
    assert not kept.is_deleted
    assert [entry.history_user for entry in kept.history.all()] == [people["buyer"], people["buyer"], people["fitter"]]


def test_nothing_is_kept_with_a_deleted_thing(buyer, things, people):
    supplier = things["supplier"]
    supplier.deleted_at, supplier.deleted_by, supplier.deleted_reason = timezone.now(), people["owner"], "twice"
    supplier.save()
    file = SimpleUploadedFile("a.pdf", PDF)
    page = buyer.post(f"/attachments/supplier/{supplier.pk}/", sent(file=file, paper="other"))
    assert "twice" in collapsed(page)
    assert not Attachment.objects.exists()
    assert f"/attachments/supplier/{supplier.pk}/" not in collapsed(buyer.get(supplier.get_absolute_url()))


def test_a_document_belongs_to_one_thing(people, things):
    kept = make_attachment(things["job"], person=people["fitter"])
    kept.vehicle = things["vehicle"]
    with pytest.raises(IntegrityError), transaction.atomic():
        kept.save()


def test_ten_documents_cost_as_many_queries_as_one(buyer, people, things):
    supplier = things["supplier"]
    make_attachment(supplier, person=people["fitter"])
    buyer.get(supplier.get_absolute_url())  # what is kept for the next page is read
    one = len(queries_of(buyer, supplier.get_absolute_url()))
    for number in range(9):
        make_attachment(supplier, person=people["buyer"], content=PDF + b"%d" % number)
    assert len(queries_of(buyer, supplier.get_absolute_url())) == one


def test_every_paper_that_is_offered_is_known():
    assert {paper for papers in OWNERS.values() for paper in papers} <= PAPERS.keys()
