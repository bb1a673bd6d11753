"""Sixty things that people type, each with the record that they mean among the first three found."""

import pytest
from django.test import Client

from shop.base.search_index import rebuild
from shop.base.search_results import find
from shop.jobs.models import Lesson
from tests.factories.jobs import make_job, make_lesson
from tests.factories.measuring import make_component, make_dimension, make_specimen, make_torque_spec
from tests.factories.orders import make_document, make_line, make_order, make_supplier
from tests.factories.people import make_person
from tests.factories.print import make_printed
from tests.factories.vehicles import make_customer, make_vehicle
from tests.factories.worksheets import make_worksheet

pytestmark = pytest.mark.django_db
AMONG = 3


@pytest.fixture(scope="module", autouse=True)
def files_of_the_test(files_of_the_file):
    """The files of this file's records live as long as they do."""


@pytest.fixture(scope="module")
def shop(files_of_the_file, until_the_file_ends):
    """A shop in which many things have a word in common; each record by the name that the queries call it by."""
    hollis = make_customer(name="Hollis Vandermeer", phone="+31 (0)20 555 0142", email="hollis@vandermeer.example")
    soren = make_customer(name="Søren Möller", phone="040-222 19 07")
    tarn = make_vehicle(customer=hollis, maker="Brightwell", model="Tarn", registration="KX 471-B", vin="BW74T00471")
    fell = make_vehicle(customer=soren, maker="Marrowby", model="Fell", registration="ZZ-900-K", vin="MB19F12345")
    engine = make_component(maker="Orvane", name="V6-30", kind="engine")
    gearbox = make_component(maker="Teskel", name="QZ-5", kind="gearbox")
    clutch = make_component(maker="Dunmere", name="C240-62", kind="clutch disc")
    ferrant = make_supplier(name="Ferrant Driveline Supply", contact="Odile Marsh", phone="0044 161 496 0777")
    order = make_order(supplier=ferrant, reference="FE-26267")
    make_line(order=order, text="flywheel blank, 240 mm")
    sheet = make_worksheet(title="Does the bearing clear the fingers?", component=gearbox)
    job = make_job(vehicle=tarn, title="Five-speed behind the V6")
    other = make_job(vehicle=fell, title="Propshaft and mounts")
    made = {
        "hollis": hollis,
        "soren": soren,
        "tarn": tarn,
        "fell": fell,
        "engine": engine,
        "gearbox": gearbox,
        "clutch": clutch,
        "engine piece": make_specimen(component=engine, mark="OV30-118842"),
        "gearbox piece": make_specimen(component=gearbox, mark="TK-0917"),
        "depth": make_dimension(component=gearbox, name="bellhousing depth"),
        "plate bolts": make_torque_spec(component=gearbox, place="plate to block, lower row", thread="M10x1.25"),
        "ferrant": ferrant,
        "olmstead": make_supplier(name="Olmstead Castings", account="OC-8841"),
        "order": order,
        "invoice": make_document(order=order, name="Rechnung-2026-77.pdf", paper="invoice"),
        "sheet": sheet,
        "job": job,
        "other job": other,
        "card": make_printed("job-card", job),
        "lesson": make_lesson(title="Upper bolt comes from above", text="A 600 mm extension reaches it."),
        "tibor": make_person(username="tibor", first_name="Tibor", last_name="Lünd"),
    }
    for at in range(12):
        make_component(maker="Teskel", name=f"bracket {at}", kind="other")
        make_order(supplier=make_supplier(name=f"Quarry Lane {at}"), reference=f"QU-26{at:03}")
    rebuild()
    return made


GOLDEN = [
    ("Hollis", "hollis"), ("holis", "hollis"), ("hollis vandermeer", "hollis"), ("vandermeer hollis", "hollis"),
    ("vandermere", "hollis"), ("hollis@vandermeer.example", "hollis"), ("020 555 0142", "hollis"),
    ("0031205550142", "hollis"), ("+31 20 5550142", "hollis"), ("555 01 42", "hollis"), ("5550142", "hollis"),
    ("soren", "soren"), ("Søren", "soren"), ("moller", "soren"), ("Möller", "soren"), ("0402221907", "soren"),
    ("+49 40 2221907", "soren"), ("KX 471-B", "tarn"), ("kx471b", "tarn"), ("471-b", "tarn"), ("kx.471", "tarn"),
    ("brightwell tarn", "tarn"), ("tarn brigh", "tarn"), ("britewell", "tarn"), ("BW74T00471", "tarn"),
    ("bw74", "tarn"), ("t00471", "tarn"), ("zz900k", "fell"), ("marowby", "fell"), ("mb19f12345", "fell"),
    ("V6-30", "engine"), ("v630", "engine"), ("orvane", "engine"), ("QZ5", "gearbox"), ("qz-5", "gearbox"),
    ("teskel qz", "gearbox"), ("c240", "clutch"), ("C240 62", "clutch"), ("dunmere", "clutch"), ("dunmeer", "clutch"),
    ("118842", "engine piece"), ("ov30118842", "engine piece"), ("TK-0917", "gearbox piece"),
    ("tk0917", "gearbox piece"), ("bellhousing depth", "depth"), ("bell housing depth", "depth"),
    ("plate to block", "plate bolts"), ("M10×1.25", "plate bolts"), ("m10x1,25", "plate bolts"),
    ("m10 x 1.25", "plate bolts"), ("ferrant", "ferrant"), ("ferant", "ferrant"), ("odile marsh", "ferrant"),
    ("+44 161 496 0777", "ferrant"), ("oc8841", "olmstead"), ("FE-26267", "order"), ("fe 26267", "order"),
    ("26267", "order"), ("flywheel blank", "order"), ("rechnung 2026", "invoice"), ("bearing clear", "sheet"),
    ("five speed behind", "job"), ("propshaft", "other job"), ("upper bolt", "lesson"),
    ("600 mm extension", "lesson"), ("tibor", "tibor"), ("lund", "tibor"),
]  # fmt: skip


def found(typed: str) -> list[object]:
    results, _ = find(typed, most=30, deleted=False, may=lambda action: True)
    return [result.record for result in results]


@pytest.mark.parametrize(("typed", "meant"), GOLDEN, ids=[typed for typed, _ in GOLDEN])
def test_what_is_meant_is_among_the_first_three(shop, typed: str, meant: str) -> None:
    assert shop[meant] in found(typed)[:AMONG], [str(each) for each in found(typed)[:6]]


def test_every_printed_number_leads_to_its_thing_first(shop) -> None:
    numbers = {
        f"J{shop['job'].pk}": shop["job"],
        f"j {shop['other job'].pk}": shop["other job"],
        f"W{shop['sheet'].pk}": shop["sheet"],
        shop["card"].number: shop["card"],
        shop["card"].number.lower().replace("-", ""): shop["card"],
        shop["order"].number: shop["order"],
        shop["order"].number.replace("-", ""): shop["order"],
    }
    assert {typed: found(typed)[0] for typed in numbers} == numbers


def test_there_are_sixty_of_them() -> None:
    assert len(GOLDEN) >= 60


def test_a_result_says_its_kind_its_state_and_what_matched(shop, buyer: Client) -> None:
    page = " ".join(buyer.get("/search/", {"q": "odile"}).content.decode().split())
    assert "Ferrant Driveline Supply" in page
    assert "Supplier" in page
    page = " ".join(buyer.get("/search/", {"q": "flywheel blank"}).content.decode().split())
    assert "1 of 1 to come" in page
    assert "matches “flywheel blank, 240 mm”" in page


def test_a_deleted_record_is_found_only_where_it_is_asked_for(shop, owner: Client) -> None:
    lesson = Lesson.objects.get(pk=shop["lesson"].pk)
    lesson.deleted_reason, lesson.deleted_at, lesson.deleted_by = "wrong", "2026-03-01T09:00Z", shop["tibor"]
    lesson.save()
    rebuild()
    assert "Upper bolt" not in owner.get("/search/", {"q": "upper bolt"}).content.decode()
    page = owner.get("/search/", {"q": "upper bolt", "show": "deleted"}).content.decode()
    assert "Upper bolt" in page
    assert "Deleted" in page
